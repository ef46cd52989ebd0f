#include "fuzz/readers.hpp"
#include "geometry/surface_file.hpp"
#include "input/input_error.hpp"

namespace boxfettle::fuzz {

// Through the front door: telling binary from ASCII is half of reading STL.
void stl(Bytes bytes) {
  try {
    expect_sound(read_surface_bytes(bytes, "scan.stl"));
  } catch (const InputError&) {  // a refusal is an answer
  }
}

}  // namespace boxfettle::fuzz
