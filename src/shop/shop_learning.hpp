// What the shop's confirmed causes, of all boxes, teach the fault network.
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "shop/box_state.hpp"
#include "shop/cause_learning.hpp"
#include "shop/shop_state.hpp"

namespace boxfettle {

struct ShopLearning {
  std::vector<TaughtCause> causes;  // those not set back
  std::vector<LearntFault> faults;  // in the network's order
  FaultNetwork network;             // with what was learnt
};

// Causes set back since they were confirmed teach nothing, nor do faults and findings the network does not
// know.
ShopLearning shop_learning(const FaultNetwork& shipped,
                           std::span<const std::shared_ptr<const BoxState>> boxes, const ShopState& shop);

}  // namespace boxfettle
