// SHA-256 of some bytes: the name of a file's content, and the link between logbook entries.
#pragma once

#include <array>
#include <compare>
#include <cstddef>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace boxfettle {

struct ContentHash {
  std::array<unsigned char, 32> bytes{};

  auto operator<=>(const ContentHash&) const = default;

  std::string hex() const;  // 64 lower-case digits
  // Throws InputError (place "hash") unless `hex` is 64 lower-case hexadecimal digits.
  static ContentHash from_hex(std::string_view hex);
};

ContentHash content_hash(std::span<const std::byte> bytes);
ContentHash content_hash(std::string_view text);

// For bytes that arrive bit by bit.
class ContentHasher {
 public:
  ContentHasher();
  ~ContentHasher();
  ContentHasher(const ContentHasher&) = delete;
  ContentHasher& operator=(const ContentHasher&) = delete;

  void add(std::span<const std::byte> bytes);
  ContentHash finish();  // once

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace boxfettle
