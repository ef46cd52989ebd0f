// What each invented box is made up of: components that stay on it, and loose pieces with homes of their own.
#pragma once

#include <string>
#include <vector>

#include "demo/shop_boxes.hpp"
#include "shop/entry.hpp"

namespace boxfettle::demo {

std::vector<ComponentFitted> components_of(const ShopBox& box);
std::vector<PieceRegistered> pieces_of(const ShopBox& box);
std::vector<std::string> piece_labels(const ShopBox& box);

}  // namespace boxfettle::demo
