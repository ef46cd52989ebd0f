#include "shop/spare_stock.hpp"

#include <map>

namespace boxfettle {
namespace {

using Shelf = std::map<std::string, SpareOnShelf>;

void want(Shelf& shelf, const PartNeeded& part) {
  SpareOnShelf& spare = shelf[part.spare];
  spare.spare = part.spare;
  spare.wanted += part.count;
}

void take(Shelf& shelf, const ShopState& shop, const PartsTaken& taken) {
  for (const PartNeeded& part : taken.parts) {
    const auto counted = shop.spares.find(part.spare);
    if (counted == shop.spares.end() || counted->second.entry > taken.entry) continue;
    std::int64_t& there = shelf[part.spare].there;
    there = part.count < there ? there - part.count : 0;
  }
}

}  // namespace

std::vector<SpareOnShelf> spares_on_shelf(const ShopState& shop,
                                          std::span<const std::shared_ptr<const BoxState>> boxes) {
  Shelf shelf;
  for (const auto& [name, known] : shop.spares)
    shelf[name] = {name,
                   known.counted.words,
                   true,
                   known.counted.count,
                   known.counted.minimum,
                   known.counted.ordered,
                   known.counted.arrives,
                   0};
  for (const auto& box : boxes) {
    for (const PartsTaken& taken : box->jobs.taken) take(shelf, shop, taken);
    for (const auto& [id, job] : box->jobs.open)
      if (!job.started)
        for (const PartNeeded& part : job.raised.parts) want(shelf, part);
  }
  std::vector<SpareOnShelf> all;
  for (auto& [name, spare] : shelf) all.push_back(std::move(spare));
  return all;
}

}  // namespace boxfettle
