#include "fuzz/readers.hpp"
#include "geometry/text_points.hpp"
#include "input/input_error.hpp"

namespace boxfettle::fuzz {

void points(Bytes bytes) {
  try {
    expect_sound(read_text_points(bytes, "scan.xyz"));
  } catch (const InputError&) {  // a refusal is an answer
  }
}

}  // namespace boxfettle::fuzz
