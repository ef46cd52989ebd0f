// The loose pieces of one box: which there are, where each is, and which run had it last.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "shop/entry.hpp"

namespace boxfettle {

struct KitPiece {
  PieceRegistered registered;
  Place place;                   // its home until it was moved
  std::int64_t place_entry = 0;  // the entry that told the place
  std::string last_run;          // the last run it was confirmed in; empty: none
  bool operator==(const KitPiece&) const = default;
};

using Kit = std::map<std::string, KitPiece>;  // by label

void tell(Kit& kit, const Entry& entry, const PieceRegistered& body);
void tell(Kit& kit, const Entry& entry, const PieceMoved& body);
void tell(Kit& kit, const Entry& entry, const PieceRetired& body);
void tell(Kit& kit, const Entry& entry, const StockTaken& body);
void tell(Kit& kit, const Entry& entry, const RunOpened& body);
void tell(Kit& kit, const Entry& entry, const RunClosed& body);  // those not back are missing

std::vector<std::string> missing_pieces(const Kit& kit);  // labels

}  // namespace boxfettle
