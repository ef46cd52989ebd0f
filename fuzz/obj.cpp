#include "fuzz/readers.hpp"
#include "geometry/obj_file.hpp"
#include "input/input_error.hpp"

namespace boxfettle::fuzz {

void obj(Bytes bytes) {
  try {
    expect_sound(read_obj(bytes, "scan.obj"));
  } catch (const InputError&) {  // a refusal is an answer
  }
}

}  // namespace boxfettle::fuzz
