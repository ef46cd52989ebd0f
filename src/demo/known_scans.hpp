// The scans that come with the invented shop, and what is known to be wrong with the box each was made in.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "demo/invented_cores.hpp"
#include "demo/synthetic_half.hpp"
#include "demo/synthetic_scan.hpp"

namespace boxfettle::demo {

// A half scanned itself.
struct KnownHalf {
  Half which;
  HalfFaults faults;
};

struct KnownScan {
  std::string box;   // "TM-0412"
  std::string file;  // "TM-0412-scan-1.ply"
  BoxFaults faults;  // of the box, as a core shows them
  Scanner scanner;
  bool handed_in;                       // waits in the shop's record to be read; the others are for trying by hand
  std::optional<KnownHalf> half = {};  // absent: a core was scanned

  std::string_view of() const {
    return !half ? "core" : half->which == Half::upper ? "half-upper" : "half-lower";
  }
};

std::vector<KnownScan> known_scans();

// `core` is the one the box makes.
PointCloud points_of(const KnownScan& scan, const InventedCore& core);

// The truth in words, a line for each fault, as it stands in the shop's README.txt.
std::string in_words(const KnownScan& scan);

}  // namespace boxfettle::demo
