// Which fault brings which core defect and fails which checkpoint: data (data/faults.toml), common practice
// from memory, until confirmed causes correct it. Faults are independent; a finding is a noisy OR of its
// faults and a leak (Pearl 1988, 4.3, from memory).
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/core_defect.hpp"

namespace boxfettle {

// What can be found true or false: a core defect, or a checkpoint that fails.
struct Observable {
  std::string id;                 // "fin", "vents"
  std::string called;             // "the vents"; a defect's own name
  double leak = 0;                // chance of it without any fault of the network
  std::optional<double> minutes;  // a checkpoint's look; none for a defect
};

struct FaultLink {
  std::size_t finding = 0;  // its place in FaultNetwork::findings
  double strength = 0;      // chance that the fault alone brings it
};

struct Fault {
  std::string id;
  std::string title;
  double prior = 0;
  std::vector<FaultLink> links;  // at most one to each finding
};

struct FaultNetwork {
  int version = 0;
  std::string origin;  // of the numbers, shown with every answer
  std::vector<Observable> findings;
  std::vector<Fault> faults;

  std::optional<std::size_t> finding_named(std::string_view id) const;
  std::optional<std::size_t> fault_named(std::string_view id) const;
};

// Throws InputError naming the line or key.
FaultNetwork parse_faults(std::string_view toml, const std::string& file);

const FaultNetwork& shipped_faults();

}  // namespace boxfettle
