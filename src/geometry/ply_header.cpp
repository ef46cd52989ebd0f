#include "geometry/ply_header.hpp"

#include <algorithm>
#include <array>

#include "geometry/number_text.hpp"
#include "geometry/text_lines.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

struct NamedType {
  std::string_view name, other_name;
  std::size_t size;
};
constexpr std::array<NamedType, 8> types{{{"char", "int8", 1},
                                          {"uchar", "uint8", 1},
                                          {"short", "int16", 2},
                                          {"ushort", "uint16", 2},
                                          {"int", "int32", 4},
                                          {"uint", "uint32", 4},
                                          {"float", "float32", 4},
                                          {"double", "float64", 8}}};

std::optional<PlyType> type_named(std::string_view name) {
  for (std::size_t i = 0; i < types.size(); ++i)
    if (types[i].name == name || types[i].other_name == name) return static_cast<PlyType>(i);
  return std::nullopt;
}

class HeaderLines {
 public:
  HeaderLines(std::string_view bytes, const std::string& file) : bytes_(bytes), file_(file) {}

  PlyHeader read() {
    next_line();  // "ply"
    while (true) {
      std::string_view rest = next_line();
      const std::string_view keyword = take_word(rest);
      if (keyword == "end_header") break;
      if (keyword == "format")
        format(rest);
      else if (keyword == "element")
        element(rest);
      else if (keyword == "property")
        property(rest);
      else if (!keyword.empty() && keyword != "comment" && keyword != "obj_info")
        refuse("the header does not know " + quoted(keyword));
    }
    if (!format_told_) refuse("the header names no format");
    header_.body_offset = at_;
    header_.body_line = number_ + 1;
    return std::move(header_);
  }

 private:
  [[noreturn]] void refuse(const std::string& what) const {
    throw InputError(file_, "line " + std::to_string(number_), what, "export the file again as PLY");
  }

  std::string_view next_line() {
    // Far beyond any true header: a binary file without end_header is not searched to its end.
    constexpr std::size_t longest_line = 4096;
    constexpr std::size_t most_lines = 10000;
    const std::string_view window = bytes_.substr(at_, longest_line);
    const std::size_t length = window.find_first_of("\r\n");
    if (length == std::string_view::npos || ++number_ > most_lines) refuse("the header has no end_header");
    at_ += length + 1;
    if (window[length] == '\r' && at_ < bytes_.size() && bytes_[at_] == '\n') ++at_;
    return window.substr(0, length);
  }

  void format(std::string_view rest) {
    const std::string_view word = take_word(rest);
    if (word == "ascii")
      header_.format = PlyFormat::ascii;
    else if (word == "binary_little_endian")
      header_.format = PlyFormat::little_endian;
    else if (word == "binary_big_endian")
      header_.format = PlyFormat::big_endian;
    else
      refuse("unknown format " + quoted(word));
    format_told_ = true;
  }

  void element(std::string_view rest) {
    PlyElement element;
    element.name = take_word(rest);
    const auto count = whole_number_in(take_word(rest));
    if (!count || *count < 0)
      refuse("the count of element " + quoted(element.name) + " is not a whole number");
    if (header_.element(element.name) != nullptr) refuse("element " + quoted(element.name) + " stands twice");
    element.count = static_cast<std::uint64_t>(*count);
    header_.elements.push_back(std::move(element));
  }

  PlyType type(std::string_view word) const {
    const auto found = type_named(word);
    if (!found) refuse("unknown type " + quoted(word));
    return *found;
  }

  void property(std::string_view rest) {
    if (header_.elements.empty()) refuse("a property before any element");
    std::string_view word = take_word(rest);
    std::optional<PlyType> list_count;
    if (word == "list") {
      list_count = type(take_word(rest));
      word = take_word(rest);
    }
    const PlyType value_type = type(word);
    header_.elements.back().properties.push_back({std::string(take_word(rest)), value_type, list_count});
  }

  std::string_view bytes_;
  const std::string& file_;
  std::size_t at_ = 0;
  std::size_t number_ = 0;
  bool format_told_ = false;
  PlyHeader header_;
};

// The least that one item of the element takes in the body.
std::uint64_t least_size(const PlyElement& element, PlyFormat format) {
  std::uint64_t size = 0;
  for (const PlyProperty& property : element.properties)
    size += format == PlyFormat::ascii ? 2 : size_of(property.list_count.value_or(property.type));
  return size;
}

void check_counts(const PlyHeader& header, std::size_t body_size, const std::string& file) {
  // The last number of a text needs no blank behind it.
  std::uint64_t left = body_size + (header.format == PlyFormat::ascii ? 1 : 0);
  for (const PlyElement& element : header.elements) {
    if (element.count == 0) continue;
    const std::uint64_t size = least_size(element, header.format);
    if (size == 0)
      throw InputError(file, "header", "element " + quoted(element.name) + " has no property",
                       "export it again");
    if (element.count > left / size)
      throw InputError(file, "header",
                       "counts " + std::to_string(element.count) + " of element " + quoted(element.name) +
                           ", more than the file has room for",
                       "it was cut short or its count is wrong; copy or export it again");
    left -= element.count * size;
  }
}

}  // namespace

std::size_t size_of(PlyType type) {
  return types[static_cast<std::size_t>(type)].size;
}

const PlyElement* PlyHeader::element(std::string_view name) const {
  const auto found =
      std::find_if(elements.begin(), elements.end(), [&](const auto& e) { return e.name == name; });
  return found == elements.end() ? nullptr : &*found;
}

PlyHeader read_ply_header(std::string_view start, std::size_t size, const std::string& file) {
  PlyHeader header = HeaderLines(start, file).read();
  check_counts(header, size - header.body_offset, file);
  return header;
}

}  // namespace boxfettle
