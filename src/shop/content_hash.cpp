#include "shop/content_hash.hpp"

#include <sodium.h>

#include "input/input_error.hpp"

namespace boxfettle {

struct ContentHasher::State {
  crypto_hash_sha256_state sha256;
};

ContentHasher::ContentHasher() : state_(std::make_unique<State>()) {
  crypto_hash_sha256_init(&state_->sha256);
}
ContentHasher::~ContentHasher() = default;

void ContentHasher::add(std::span<const std::byte> bytes) {
  crypto_hash_sha256_update(&state_->sha256, reinterpret_cast<const unsigned char*>(bytes.data()),
                            bytes.size());
}

ContentHash ContentHasher::finish() {
  ContentHash hash;
  crypto_hash_sha256_final(&state_->sha256, hash.bytes.data());
  return hash;
}

std::string ContentHash::hex() const {
  constexpr std::string_view digit = "0123456789abcdef";
  std::string text;
  text.reserve(64);
  for (const unsigned char byte : bytes) {
    text += digit[byte >> 4];
    text += digit[byte & 15];
  }
  return text;
}

ContentHash ContentHash::from_hex(std::string_view hex) {
  const auto value = [&](char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    throw InputError("", "hash", "'" + std::string(1, c) + "' is no lower-case hexadecimal digit",
                     "give the 64 digits of a SHA-256");
  };
  if (hex.size() != 64)
    throw InputError("", "hash", std::to_string(hex.size()) + " characters instead of 64",
                     "give the 64 digits of a SHA-256");
  ContentHash hash;
  for (std::size_t i = 0; i < 32; ++i)
    hash.bytes[i] = static_cast<unsigned char>(value(hex[2 * i]) * 16 + value(hex[2 * i + 1]));
  return hash;
}

ContentHash content_hash(std::span<const std::byte> bytes) {
  ContentHasher hasher;
  hasher.add(bytes);
  return hasher.finish();
}

ContentHash content_hash(std::string_view text) {
  return content_hash(std::as_bytes(std::span(text)));
}

}  // namespace boxfettle
