// Which fault brings which core defect and fails which checkpoint: data (data/faults.toml), common practice
// from memory, until confirmed causes correct it. Faults are independent; a finding is a noisy OR of its
// faults and a leak (Pearl 1988, 4.3, from memory).
#pragma once

#include <chrono>
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
  // Told absent (passed) no longer than this before the trouble, it still speaks.
  std::chrono::minutes absence_speaks{0};

  bool is_checkpoint() const { return minutes.has_value(); }
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

// What a scan reading's finding, or a calculation, counts as.
struct Telling {
  enum class From { reading, calculation };
  From from = From::reading;
  std::string name;  // "wear"; "dowels"
  std::size_t finding = 0;
};

struct FaultNetwork {
  int version = 0;
  std::string origin;  // of the numbers, shown with every answer
  std::vector<Observable> findings;
  std::vector<Fault> faults;
  std::vector<Telling> tellings = {};
  std::chrono::days defect_speaks{30};  // a bad core that nobody has explained is let go after it

  std::optional<std::size_t> finding_named(std::string_view id) const;
  std::optional<std::size_t> fault_named(std::string_view id) const;
  std::optional<std::size_t> told_by(Telling::From from, std::string_view name) const;  // the finding
};

// Throws InputError naming the line or key.
FaultNetwork parse_faults(std::string_view toml, const std::string& file);

const FaultNetwork& shipped_faults();

}  // namespace boxfettle
