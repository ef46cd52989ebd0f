// What is known of the shop as a whole: places and their labels, spares, fitters, sand mixes, and the rules
// it has chosen for itself. The fold of the entries about the whole shop.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
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

// The care that is followed, and whose choice it is.
struct CareInForce {
  enum class From { box, shop, shipped };
  From from = From::shipped;
  std::vector<CareRule> care;
  std::optional<ShopCareChosen> chosen;  // of the shop's choices the one that counts
  bool operator==(const CareInForce&) const = default;
};

std::string_view name(CareInForce::From from);  // "box", "shop", "shipped"

// For a box of this process in that month (1 to 12): the box's own care, else the shop's for the process and
// month, else the shop's for every process, else what is shipped.
CareInForce care_in_force(const std::vector<CareRule>& of_box, const std::vector<ShopCareChosen>& of_shop,
                          const std::string& process, std::int64_t month);

std::int64_t month_of(UtcTime at);  // 1 to 12

}  // namespace boxfettle
