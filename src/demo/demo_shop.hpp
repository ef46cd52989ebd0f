// The invented shop 'Tarnmoor Castings', written out: about 40 boxes, two years of entries, scans with known
// faults.
#pragma once

#include <cstddef>
#include <filesystem>

#include "shop/utc_time.hpp"

namespace boxfettle::demo {

struct WrittenDemo {
  std::size_t boxes = 0;
  std::size_t entries = 0;
  std::size_t scans = 0;
};

// Makes `dir` with
//   README.txt          what the files are, who can sign in, and the faults each scan is known to have
//   boxes/              TM-0412.toml and .stl and two more: boxes with their cores' shapes
//   scans/              scans of cores from those boxes
//   sign-in.txt         who can sign in, with a passphrase of its own (for the owner's eyes: mode 0600)
//   shop-name.txt       Tarnmoor Castings
//   boxfettle.sqlite, files/   the shop's record, ready to be served
// All of it or nothing: it is made beside `dir` and renamed. The story ends at `now`.
// Throws InputError when `dir` is there already and not an empty folder, or cannot be made.
WrittenDemo write_demo(const std::filesystem::path& dir, UtcTime now);

}  // namespace boxfettle::demo
