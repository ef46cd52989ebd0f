// The scans that come with the invented shop, and what is known to be wrong with the box each was made in.
#pragma once

#include <string>
#include <vector>

#include "demo/synthetic_scan.hpp"

namespace boxfettle::demo {

struct KnownScan {
  std::string box;   // "TM-0412"
  std::string file;  // "TM-0412-scan-1.ply"
  BoxFaults faults;
  Scanner scanner;
  bool handed_in;  // waits in the shop's record to be read; the others are for trying by hand
};

std::vector<KnownScan> known_scans();

// The truth in words, a line for each fault, as it stands in the shop's README.txt.
std::string in_words(const KnownScan& scan);

}  // namespace boxfettle::demo
