#include "store/random_id.hpp"

#include <sodium.h>

#include <stdexcept>
#include <vector>

namespace boxfettle {

std::string random_hex(std::size_t bytes) {
  if (sodium_init() < 0) throw std::runtime_error("no secure random source");
  std::vector<unsigned char> raw(bytes);
  randombytes_buf(raw.data(), raw.size());
  std::string hex(bytes * 2 + 1, '\0');
  sodium_bin2hex(hex.data(), hex.size(), raw.data(), raw.size());
  hex.pop_back();
  return hex;
}

}  // namespace boxfettle
