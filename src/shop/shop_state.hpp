// What is known of the shop as a whole: places and their labels, spares, fitters, sand mixes, and the rules
// it has chosen for itself. The fold of the entries about the whole shop.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "shop/checkpoint.hpp"
#include "shop/entry.hpp"

namespace boxfettle {

struct CountedSpare {
  SpareCounted counted;
  std::int64_t entry = 0;
  bool operator==(const CountedSpare&) const = default;
};

struct ShopState {
  std::map<std::string, PlaceRegistered> places;  // by label
  std::map<std::string, CountedSpare> spares;     // by spare
  std::map<std::string, FitterHours> fitters;     // by name; those who left are gone
  std::vector<FitterAway> away;                   // in the order told; past ones too
  std::map<std::string, SandMixed> sands;         // by mix
  std::vector<ShopCareChosen> care;               // the last one told for each process and season
  std::optional<CatalogueWritten> catalogue;      // the last one written
  std::map<std::string, std::int64_t> learning_resets;  // by fault, the last entry; "": of all faults
  std::set<std::string> requests;
  std::int64_t last_entry = 0;
  bool operator==(const ShopState&) const = default;
};

// An entry of a box changes nothing. Never fails.
void fold(ShopState& state, const Entry& entry);

ShopState replay_shop(std::span<const Entry> entries);

// The care rules for a box of this process on that day: the box's own, else the shop's for the process and
// month, else the shop's for every process, else those shipped.
std::vector<CareRule> care_rules(const std::vector<CareRule>& of_box,
                                 const std::vector<ShopCareChosen>& of_shop, const std::string& process,
                                 UtcTime now);

}  // namespace boxfettle
