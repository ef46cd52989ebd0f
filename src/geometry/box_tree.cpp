#include "geometry/box_tree.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>
#include <tbb/parallel_invoke.h>

#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <limits>
#include <memory>
#include <span>

namespace boxfettle {
namespace {

constexpr std::size_t most_bins = 16;
// Items; with fewer a task costs more than it saves (measured on 2 cores).
constexpr std::size_t large = 8192;
// Hostile meshes can make every cheapest cut shave off one triangle. From this depth on the items are halved,
// which bounds the tree's depth by 40 + 32.
constexpr int halve_below = 40;

// Four lanes where three would do: they are taken at once. The fourth does not count.
using Lanes = Eigen::Array4f;

struct LaneBox {
  Lanes low = Lanes::Constant(1e30f), high = Lanes::Constant(-1e30f);

  void include(const LaneBox& other) {
    low = low.min(other.low);
    high = high.max(other.high);
  }
  float half_area() const {
    const Lanes side = high - low;
    return side[0] * side[1] + side[1] * side[2] + side[2] * side[0];
  }
};

// A triangle's box. Its number stands in the lanes that are free, half in each as the digits of an ordinary
// float: as bits alone it could be one that some processors are slow with.
struct Item {
  static constexpr std::uint32_t digits = 0x7fffff, one = 0x3f800000;
  LaneBox box;

  Lanes doubled_centre() const { return box.low + box.high; }
  void set_triangle(std::uint32_t t) {
    box.low[3] = std::bit_cast<float>(one | (t & digits));
    box.high[3] = std::bit_cast<float>(one | (t >> 23));
  }
  std::uint32_t triangle() const {
    return (std::bit_cast<std::uint32_t>(box.low[3]) & digits) |
           (std::bit_cast<std::uint32_t>(box.high[3]) & digits) << 23;
  }
};

Item item_of(const TriangleMesh& mesh, std::size_t t) {
  Item item;
  for (int corner = 0; corner < 3; ++corner) {
    const Eigen::Vector3d& v = mesh.corner(t, corner);
    for (Eigen::Index k = 0; k < 3; ++k) {
      const auto f = static_cast<float>(v[k]);
      const float rounding = std::abs(f) * 1.2e-7f + std::numeric_limits<float>::min();
      item.box.low[k] = std::min(item.box.low[k], f - rounding);
      item.box.high[k] = std::max(item.box.high[k], f + rounding);
    }
  }
  item.set_triangle(static_cast<std::uint32_t>(t));
  return item;
}

struct Split {
  Eigen::Index axis = 0;
  std::size_t bin = 0;  // the left side takes bins 0..bin
  std::size_t bins = most_bins;
  float low = 0, scale = 0;
  bool found = false;

  std::size_t bin_of(const Item& item) const {
    const float at = (item.doubled_centre()[axis] - low) * scale;
    return std::min(static_cast<std::size_t>(std::max(at, 0.0f)), bins - 1);
  }
};

struct Bin {
  LaneBox box;
  std::size_t count = 0;
};

// Where the boxes of the two sides, each weighed by what it holds, are smallest.
void choose_bin(Split& split, const std::array<Bin, most_bins>& filled, std::size_t items) {
  std::array<float, most_bins> right_cost{};
  LaneBox box;
  std::size_t count = 0;
  for (std::size_t b = split.bins - 1; b > 0; --b) {
    box.include(filled[b].box);
    count += filled[b].count;
    right_cost[b] = count ? box.half_area() * static_cast<float>(count) : 0;
  }
  box = {};
  count = 0;
  float best = std::numeric_limits<float>::max();
  for (std::size_t b = 0; b + 1 < split.bins; ++b) {
    box.include(filled[b].box);
    count += filled[b].count;
    if (count == 0 || count == items) continue;
    const float cost = box.half_area() * static_cast<float>(count) + right_cost[b + 1];
    if (cost < best) {
      best = cost;
      split.bin = b;
      split.found = true;
    }
  }
}

// Cheapest cut along the axis in which the centres spread most. Some hundreds of many items tell it: with all
// of them asked the search is no quicker.
Split cheapest_split(std::span<const Item> items) {
  constexpr std::size_t enough = 256;
  const std::size_t stride = std::max<std::size_t>(1, items.size() / enough);
  Lanes low = Lanes::Constant(1e30f), high = Lanes::Constant(-1e30f);
  for (std::size_t i = 0; i < items.size(); i += stride) {
    const Lanes centre = items[i].doubled_centre();
    low = low.min(centre);
    high = high.max(centre);
  }
  Split split;
  const float spread = (high - low).head<3>().maxCoeff(&split.axis);
  if (!(spread > 0)) return split;
  constexpr std::size_t few = 32;  // for so few items half the bins do
  split.bins = items.size() > few ? most_bins : most_bins / 2;
  split.low = low[split.axis];
  split.scale = static_cast<float>(split.bins) / spread;
  std::array<Bin, most_bins> filled;
  std::size_t looked_at = 0;
  for (std::size_t i = 0; i < items.size(); i += stride, ++looked_at) {
    Bin& bin = filled[split.bin_of(items[i])];
    bin.box.include(items[i].box);
    ++bin.count;
  }
  choose_bin(split, filled, looked_at);
  return split;
}

// As std::partition, without a branch that is mistaken every second time. `aside` is as large as `items`.
std::size_t part(std::span<Item> items, const Split& split, Item* aside) {
  std::size_t left = 0, right = 0;
  for (const Item& item : items) {
    const bool stays = split.bin_of(item) <= split.bin;
    const Item copy = item;
    items[left] = copy;
    aside[right] = copy;
    left += stays;
    right += !stays;
  }
  std::copy_n(aside, right, items.begin() + static_cast<std::ptrdiff_t>(left));
  return left;
}

std::size_t partition_point(std::span<Item> items, int depth, Item* aside) {
  if (depth >= halve_below) return items.size() / 2;
  const Split split = cheapest_split(items);
  if (!split.found) return items.size() / 2;  // all centres in one place: any half will do
  if (aside != nullptr) return part(items, split, aside);
  const auto middle = std::partition(items.begin(), items.end(),
                                     [&](const Item& item) { return split.bin_of(item) <= split.bin; });
  return static_cast<std::size_t>(middle - items.begin());
}

void set_box(BoxNode& node, const LaneBox& box) {
  for (std::size_t k = 0; k < 3; ++k) {
    node.low[k] = box.low[static_cast<Eigen::Index>(k)];
    node.high[k] = box.high[static_cast<Eigen::Index>(k)];
  }
}

// Part of the tree while it grows: branches near the root, each a task of its own, end in nodes.
struct Branch {
  LaneBox box;
  std::unique_ptr<Branch> left, right;
  std::vector<BoxNode> nodes;  // without children: its own node, then all below it, counted from its own
};

// Of `items`, the first of which is number `first` of all; returns their box.
LaneBox grow(std::vector<BoxNode>& nodes, std::size_t place, std::span<Item> items, std::size_t first,
             int depth, Item* aside) {
  LaneBox box;
  if (items.size() <= BoxTree::leaf_size) {
    for (const Item& item : items) box.include(item.box);
    nodes[place].first = static_cast<std::uint32_t>(first);
    nodes[place].count = static_cast<std::uint32_t>(items.size());
  } else {
    const std::size_t left = partition_point(items, depth, aside), children = nodes.size();
    nodes.resize(children + 2);
    nodes[place].first = static_cast<std::uint32_t>(children);
    nodes[place].count = 0;
    box = grow(nodes, children, items.first(left), first, depth + 1, aside);
    box.include(grow(nodes, children + 1, items.subspan(left), first + left, depth + 1, aside));
  }
  set_box(nodes[place], box);
  return box;
}

std::unique_ptr<Branch> branch_of(std::span<Item> items, std::size_t first, int depth) {
  auto branch = std::make_unique<Branch>();
  if (items.size() <= large) {
    std::vector<Item> aside(items.size());
    branch->nodes.resize(1);
    branch->nodes.reserve(items.size() / 2 + 1);
    branch->box = grow(branch->nodes, 0, items, first, depth, aside.data());
    return branch;
  }
  const std::size_t left = partition_point(items, depth, nullptr);
  tbb::parallel_invoke([&] { branch->left = branch_of(items.first(left), first, depth + 1); },
                       [&] { branch->right = branch_of(items.subspan(left), first + left, depth + 1); });
  branch->box = branch->left->box;
  branch->box.include(branch->right->box);
  return branch;
}

void lay_down(BoxTree& tree, std::size_t place, const Branch& branch) {
  const std::size_t below = tree.nodes.size();
  if (!branch.left) {
    tree.nodes[place] = branch.nodes.front();
    tree.nodes.insert(tree.nodes.end(), branch.nodes.begin() + 1, branch.nodes.end());
    const auto renumber = [&](BoxNode& node) {
      if (node.count == 0) node.first += static_cast<std::uint32_t>(below - 1);
    };
    renumber(tree.nodes[place]);
    std::for_each(tree.nodes.begin() + static_cast<std::ptrdiff_t>(below), tree.nodes.end(), renumber);
    return;
  }
  tree.nodes.resize(below + 2);
  tree.nodes[place].first = static_cast<std::uint32_t>(below);
  tree.nodes[place].count = 0;
  set_box(tree.nodes[place], branch.box);
  lay_down(tree, below, *branch.left);
  lay_down(tree, below + 1, *branch.right);
}

}  // namespace

BoxTree build_box_tree(const TriangleMesh& mesh) {
  std::vector<Item> items(mesh.triangles.size());
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, items.size(), 4096), [&](const auto& range) {
    for (std::size_t t = range.begin(); t != range.end(); ++t) items[t] = item_of(mesh, t);
  });
  const std::unique_ptr<Branch> root = branch_of(items, 0, 0);
  BoxTree tree;
  tree.nodes.reserve(items.size() / 2 + 2);
  tree.nodes.resize(2);
  lay_down(tree, 0, *root);
  tree.order.reserve(items.size());
  for (const Item& item : items) tree.order.push_back(item.triangle());
  return tree;
}

float BoxTree::squared_distance(const BoxNode& node, const std::array<float, 3>& p) const {
  float sum = 0;
  for (std::size_t k = 0; k < 3; ++k) {
    const float d = std::max({node.low[k] - p[k], p[k] - node.high[k], 0.0f});
    sum += d * d;
  }
  return sum;
}

}  // namespace boxfettle
