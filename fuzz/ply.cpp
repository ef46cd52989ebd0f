#include "fuzz/readers.hpp"
#include "geometry/ply_file.hpp"
#include "input/input_error.hpp"

namespace boxfettle::fuzz {

void ply(Bytes bytes) {
  try {
    expect_sound(read_ply(FileBytes(bytes, "scan.ply")));
  } catch (const InputError&) {  // a refusal is an answer
  }
}

}  // namespace boxfettle::fuzz
