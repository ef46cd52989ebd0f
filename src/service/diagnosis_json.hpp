// What the page is told of a box's diagnosis and of what confirmed causes have taught, as openapi.yaml spells
// it.
#pragma once

#include <nlohmann/json.hpp>

#include "shop/box_diagnosis.hpp"
#include "shop/shop_learning.hpp"

namespace boxfettle {

nlohmann::json diagnosis_json(const BoxState& box, const ShopLearning& learning, const Catalogue& catalogue,
                              UtcTime now);

nlohmann::json learning_json(const ShopLearning& learning);

}  // namespace boxfettle
