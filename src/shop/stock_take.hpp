// A rack counted: what should lie there against the labels that were read.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <vector>

#include "shop/box_state.hpp"
#include "shop/shop_state.hpp"

namespace boxfettle {

struct LabelRead {
  std::string code;  // of a box or a loose piece
  Place at;          // the bay it lay in
};

struct StockLine {
  std::string box;
  StockTaken taken;  // `piece` is empty for the box itself
  bool operator==(const StockLine&) const = default;
};

struct StockTake {
  std::vector<StockLine> lines;      // expected ones first, then those that strayed here
  std::vector<std::string> unknown;  // labels that belong to nothing registered
};

// Expected in the rack is what the record last saw in one of its bays (places whose text begins with the
// rack's name). Found: expected here, read here. Strayed: read here, expected elsewhere, in another bay of
// the rack or out at a run. Missing: expected here, not read. Each label counts once, the last time it was
// read.
StockTake stock_take(const std::string& rack, std::span<const LabelRead> read,
                     std::span<const std::shared_ptr<const BoxState>> boxes);

}  // namespace boxfettle
