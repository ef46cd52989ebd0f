#include "shop/shop_learning.hpp"

#include <algorithm>

namespace boxfettle {
namespace {

std::int64_t last_reset(const ShopState& shop, const std::string& fault) {
  std::int64_t last = 0;
  for (const std::string& which : {fault, std::string()})
    if (const auto reset = shop.learning_resets.find(which); reset != shop.learning_resets.end())
      last = std::max(last, reset->second);
  return last;
}

std::set<std::size_t> known_findings(const FaultNetwork& network, const std::vector<std::string>& names) {
  std::set<std::size_t> known;
  for (const std::string& name : names)
    if (const auto finding = network.finding_named(name)) known.insert(*finding);
  return known;
}

}  // namespace

ShopLearning shop_learning(const FaultNetwork& shipped,
                           std::span<const std::shared_ptr<const BoxState>> boxes, const ShopState& shop) {
  std::vector<TaughtCause> causes;
  for (const auto& box : boxes)
    for (const ConfirmedCause& one : box->suspects.causes)
      if (const auto fault = shipped.fault_named(one.cause.fault);
          fault && one.entry > last_reset(shop, one.cause.fault))
        causes.push_back(
            {*fault, known_findings(shipped, one.cause.seen), known_findings(shipped, one.cause.not_seen)});
  std::vector<LearntFault> faults = learnt(shipped, causes);
  FaultNetwork network = with_learnt(shipped, faults);
  return {std::move(causes), std::move(faults), std::move(network)};
}

}  // namespace boxfettle
