// Compiled once per target, with BOXFETTLE_READER naming the function that it tries.
#include <cstdint>

#include "fuzz/readers.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  boxfettle::fuzz::BOXFETTLE_READER(std::as_bytes(std::span(data, size)));
  return 0;
}
