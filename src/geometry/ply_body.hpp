// The numbers of a PLY body, one after another, whether they are words or bytes.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#include <optional>
#include <string>
#include <string_view>

#include "geometry/number_text.hpp"
#include "geometry/ply_header.hpp"
#include "geometry/text_lines.hpp"
#include "input/file_bytes.hpp"
#include "input/input_error.hpp"

namespace boxfettle {

class PlyWords {
 public:
  PlyWords(std::string_view body, std::size_t first_line, const std::string& file)
      : words_(body, first_line), file_(file) {}

  double next(PlyType) {
    const std::string_view word = words_.next();
    if (word.empty()) throw InputError(file_, place(), "the file ends early", "copy or export it again");
    const auto value = number_in(word);
    if (!value) throw InputError(file_, place(), quoted(word) + " is not a number", "export the file again");
    return *value;
  }
  bool has_room_for(double items, PlyType) const { return items <= static_cast<double>(words_.left()); }
  void expect_end() {
    if (!words_.next().empty())
      throw InputError(file_, place(), "more follows than the header counts", "export the file again");
  }
  std::string place() const { return words_.place(); }

 private:
  TextWords words_;
  const std::string& file_;
};

template <std::endian order>
class PlyBytes {
 public:
  // `offset` is where the body begins in the file.
  PlyBytes(const FileBytes& file, std::size_t offset)
      : file_(file), offset_(offset), size_(file.size() - offset) {}

  double next(PlyType type) {
    const std::size_t size = size_of(type);
    if (size_ - at_ < size)
      throw InputError(file_.name(), place(), "the file ends early", "copy or export it again");
    // What is asked for number by number is read whole.
    if (body_.empty()) body_ = as_text(file_.stretch(offset_, size_, room_));
    at_ += size;
    return number_at(body_.data() + at_ - size, type);
  }
  static double number_at(const char* bytes, PlyType type) {
    switch (type) {
      case PlyType::int8:
        return load<std::int8_t>(bytes);
      case PlyType::uint8:
        return load<std::uint8_t>(bytes);
      case PlyType::int16:
        return load<std::int16_t>(bytes);
      case PlyType::uint16:
        return load<std::uint16_t>(bytes);
      case PlyType::int32:
        return load<std::int32_t>(bytes);
      case PlyType::uint32:
        return load<std::uint32_t>(bytes);
      case PlyType::float32:
        return double{load<float>(bytes)};
      case PlyType::float64:
        return load<double>(bytes);
    }
    return 0;
  }
  // Rows of so many bytes, all of them or none: where in the file they begin, or nothing, and nothing passed
  // over, where it holds fewer.
  std::optional<std::size_t> pass_rows(std::uint64_t count, std::size_t size) {
    if (count > (size_ - at_) / size) return std::nullopt;
    const std::size_t first = offset_ + at_;
    at_ += count * size;
    return first;
  }
  // Such rows, so many from a byte of the file on.
  const char* rows_at(std::size_t first, std::size_t bytes, FileBytes::Room& room) const {
    return as_text(file_.stretch(first, bytes, room)).data();
  }
  bool has_room_for(double items, PlyType type) const {
    return items * static_cast<double>(size_of(type)) <= static_cast<double>(size_ - at_);
  }
  void expect_end() const {
    // A line end behind the last number is a habit of some exporters and harms nothing.
    if (size_ - at_ > 2)
      throw InputError(file_.name(), place(), "more follows than the header counts", "export the file again");
  }
  std::string place() const { return "byte " + std::to_string(offset_ + at_); }

  template <typename Value>
  static Value load(const char* from) {
    std::array<char, sizeof(Value)> bytes;
    std::memcpy(bytes.data(), from, bytes.size());
    if constexpr (order != std::endian::native) std::reverse(bytes.begin(), bytes.end());
    return std::bit_cast<Value>(bytes);
  }

 private:
  const FileBytes& file_;
  std::size_t offset_, size_;
  std::size_t at_ = 0;
  FileBytes::Room room_;
  std::string_view body_;
};

}  // namespace boxfettle
