#include "corebox/box_file.hpp"

#include <cstdlib>

#include "fuzz/readers.hpp"
#include "input/input_error.hpp"

namespace boxfettle::fuzz {

// A box that was read must be written so that it reads back the same.
void box_file(Bytes bytes) {
  try {
    const CoreBox box =
        parse_box_file({reinterpret_cast<const char*>(bytes.data()), bytes.size()}, "box.toml");
    if (!(parse_box_file(write_box_file(box), "box.toml") == box)) std::abort();
  } catch (const InputError&) {  // a refusal is an answer
  }
}

}  // namespace boxfettle::fuzz
