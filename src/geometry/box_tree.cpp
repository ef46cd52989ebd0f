#include "geometry/box_tree.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>
#include <tbb/parallel_invoke.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <span>

namespace boxfettle {
namespace {

constexpr int bins = 16;
constexpr std::size_t parallel_above =
    8192;  // below this a task costs more than it saves (measured on 2 cores)
// Hostile meshes can make every cheapest cut shave off one triangle. From this depth on the items are halved,
// which bounds the tree's depth by 40 + 32.
constexpr int halve_below = 40;

struct FloatBox {
  std::array<float, 3> low{1e30f, 1e30f, 1e30f};
  std::array<float, 3> high{-1e30f, -1e30f, -1e30f};

  void include(const FloatBox& other) {
    for (std::size_t k = 0; k < 3; ++k) {
      low[k] = std::min(low[k], other.low[k]);
      high[k] = std::max(high[k], other.high[k]);
    }
  }
  float half_area() const {
    const float x = high[0] - low[0], y = high[1] - low[1], z = high[2] - low[2];
    return x * y + y * z + z * x;
  }
};

struct Item {
  FloatBox box;
  std::uint32_t triangle;
  float centre(std::size_t axis) const { return 0.5f * (box.low[axis] + box.high[axis]); }
};

struct Branch {
  FloatBox box;
  std::size_t first, count;
  std::unique_ptr<Branch> left, right;
};

FloatBox float_box(const TriangleMesh& mesh, std::size_t t) {
  FloatBox box;
  for (int corner = 0; corner < 3; ++corner) {
    const Eigen::Vector3d& v = mesh.corner(t, corner);
    for (std::size_t k = 0; k < 3; ++k) {
      const auto f = static_cast<float>(v[static_cast<Eigen::Index>(k)]);
      const float rounding = std::abs(f) * 1.2e-7f + std::numeric_limits<float>::min();
      box.low[k] = std::min(box.low[k], f - rounding);
      box.high[k] = std::max(box.high[k], f + rounding);
    }
  }
  return box;
}

struct Bin {
  FloatBox box;
  std::size_t count = 0;
};

struct Split {
  std::size_t axis = 0;
  int bin = 0;  // the left side takes bins 0..bin
  float low = 0, scale = 0;
  bool found = false;

  int bin_of(const Item& item) const {
    return std::clamp(static_cast<int>((item.centre(axis) - low) * scale), 0, bins - 1);
  }
};

// Cheapest cut along the axis in which the centres spread most.
Split cheapest_split(std::span<const Item> items) {
  std::array<float, 3> low{1e30f, 1e30f, 1e30f}, high{-1e30f, -1e30f, -1e30f};
  for (const Item& item : items)
    for (std::size_t k = 0; k < 3; ++k) {
      low[k] = std::min(low[k], item.centre(k));
      high[k] = std::max(high[k], item.centre(k));
    }
  Split split;
  for (std::size_t k = 1; k < 3; ++k)
    if (high[k] - low[k] > high[split.axis] - low[split.axis]) split.axis = k;
  const float spread = high[split.axis] - low[split.axis];
  if (!(spread > 0)) return split;
  split.low = low[split.axis];
  split.scale = static_cast<float>(bins) / spread;

  std::array<Bin, bins> filled;
  for (const Item& item : items) {
    Bin& bin = filled[static_cast<std::size_t>(split.bin_of(item))];
    bin.box.include(item.box);
    ++bin.count;
  }
  std::array<float, bins> right_cost{};
  FloatBox box;
  std::size_t count = 0;
  for (int b = bins - 1; b > 0; --b) {
    box.include(filled[static_cast<std::size_t>(b)].box);
    count += filled[static_cast<std::size_t>(b)].count;
    right_cost[static_cast<std::size_t>(b)] = count ? box.half_area() * static_cast<float>(count) : 0;
  }
  box = {};
  count = 0;
  float best = std::numeric_limits<float>::max();
  for (int b = 0; b + 1 < bins; ++b) {
    box.include(filled[static_cast<std::size_t>(b)].box);
    count += filled[static_cast<std::size_t>(b)].count;
    if (count == 0 || count == items.size()) continue;
    const float cost =
        box.half_area() * static_cast<float>(count) + right_cost[static_cast<std::size_t>(b) + 1];
    if (cost < best) {
      best = cost;
      split.bin = b;
      split.found = true;
    }
  }
  return split;
}

std::size_t partition_point(std::span<Item> items, int depth) {
  if (depth >= halve_below) return items.size() / 2;
  const Split split = cheapest_split(items);
  if (!split.found) return items.size() / 2;  // all centres in one place: any half will do
  const auto middle = std::partition(items.begin(), items.end(),
                                     [&](const Item& item) { return split.bin_of(item) <= split.bin; });
  return static_cast<std::size_t>(middle - items.begin());
}

std::unique_ptr<Branch> grow(std::span<Item> all, std::size_t first, std::size_t count, int depth) {
  auto branch = std::make_unique<Branch>();
  branch->first = first;
  branch->count = count;
  const std::span<Item> items = all.subspan(first, count);
  if (count <= BoxTree::leaf_size) {
    for (const Item& item : items) branch->box.include(item.box);
    return branch;
  }
  const std::size_t left = partition_point(items, depth);
  const auto grow_left = [&] { branch->left = grow(all, first, left, depth + 1); };
  const auto grow_right = [&] { branch->right = grow(all, first + left, count - left, depth + 1); };
  if (count > parallel_above) {
    tbb::parallel_invoke(grow_left, grow_right);
  } else {
    grow_left();
    grow_right();
  }
  branch->box = branch->left->box;
  branch->box.include(branch->right->box);
  return branch;
}

void lay_down(BoxTree& tree, std::size_t place, const Branch& branch) {
  const bool leaf = !branch.left;
  const std::size_t children = tree.nodes.size();
  if (!leaf) tree.nodes.resize(children + 2);
  tree.nodes[place] = {branch.box.low, static_cast<std::uint32_t>(leaf ? branch.first : children),
                       branch.box.high, static_cast<std::uint32_t>(leaf ? branch.count : 0)};
  if (leaf) return;
  lay_down(tree, children, *branch.left);
  lay_down(tree, children + 1, *branch.right);
}

}  // namespace

BoxTree build_box_tree(const TriangleMesh& mesh) {
  std::vector<Item> items(mesh.triangles.size());
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, items.size(), 4096), [&](const auto& range) {
    for (std::size_t t = range.begin(); t != range.end(); ++t)
      items[t] = {float_box(mesh, t), static_cast<std::uint32_t>(t)};
  });
  const std::unique_ptr<Branch> root = grow(items, 0, items.size(), 0);
  BoxTree tree;
  tree.nodes.resize(2);
  lay_down(tree, 0, *root);
  tree.order.reserve(items.size());
  for (const Item& item : items) tree.order.push_back(item.triangle);
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
