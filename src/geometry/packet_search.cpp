#include "geometry/packet_search.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/vector_targets.hpp"

#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "geometry/packet_search.cpp"
#include <hwy/foreach_target.h>
#include <hwy/highway.h>

HWY_BEFORE_NAMESPACE();
namespace boxfettle::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

// Eight points a packet where the machine has the width: more would visit boxes that most of them do not
// need.
using Lanes = hn::CappedTag<float, PacketPoints::packet>;
using F = hn::Vec<Lanes>;
using U = hn::Vec<hn::RebindToUnsigned<Lanes>>;

struct Packet {
  HWY_INLINE Packet() {}  // written out: the compiler's own would not be built for this namespace's target
  F high[3], low[3];
  F best;     // squared distance
  U nearest;  // place in order
};

HWY_INLINE F box_squared_distance(const BoxNode& node, const Packet& packet, F slack) {
  const Lanes d;
  F sum = hn::Zero(d);
  for (std::size_t k = 0; k < 3; ++k) {
    const F below = hn::Sub(hn::Set(d, node.low[k]), packet.high[k]);
    const F above = hn::Sub(packet.high[k], hn::Set(d, node.high[k]));
    const F out = hn::Max(hn::Sub(hn::Max(below, above), slack), hn::Zero(d));
    sum = hn::MulAdd(out, out, sum);
  }
  return sum;
}

HWY_INLINE F clamp01(F t) {
  const Lanes d;
  return hn::Min(hn::Max(t, hn::Zero(d)), hn::Set(d, 1.0f));
}

// Squared distance of (u, v) to the segment from (0, 0) along (du, dv).
HWY_INLINE F segment_squared(F u, F v, float du, float dv, float inverse) {
  const Lanes d;
  const F along_u = hn::Set(d, du), along_v = hn::Set(d, dv);
  const F t = clamp01(hn::Mul(hn::MulAdd(u, along_u, hn::Mul(v, along_v)), hn::Set(d, inverse)));
  const F off_u = hn::NegMulAdd(t, along_u, u), off_v = hn::NegMulAdd(t, along_v, v);
  return hn::MulAdd(off_u, off_u, hn::Mul(off_v, off_v));
}

HWY_INLINE F dot_row(const float (&row)[3], F x, F y, F z, float base) {
  const Lanes d;
  const F sum = hn::MulSub(x, hn::Set(d, row[0]), hn::Set(d, base));
  return hn::MulAdd(z, hn::Set(d, row[2]), hn::MulAdd(y, hn::Set(d, row[1]), sum));
}

HWY_INLINE F triangle_squared(const FramedTriangle& t, F x, F y, F z) {
  const Lanes d;
  const F u = dot_row(t.row_u, x, y, z, t.base_u);
  const F v = dot_row(t.row_v, x, y, z, t.base_v);
  const F w = dot_row(t.row_w, x, y, z, t.base_w);
  const F past_base = hn::Sub(u, hn::Min(hn::Max(u, hn::Zero(d)), hn::Set(d, t.length)));
  F in_plane = hn::MulAdd(past_base, past_base, hn::Mul(v, v));
  const F from1 = hn::Sub(u, hn::Set(d, t.length));
  const float side1_u = t.apex_u - t.length;
  in_plane = hn::Min(in_plane, segment_squared(from1, v, side1_u, t.apex_v, t.inverse_side1));
  in_plane = hn::Min(in_plane, segment_squared(u, v, t.apex_u, t.apex_v, t.inverse_side2));
  // Left of all three edges, taken round: inside, and only the height counts.
  const F left1 = hn::NegMulAdd(hn::Set(d, t.apex_v), from1, hn::Mul(hn::Set(d, side1_u), v));
  const F left2 = hn::MulSub(hn::Set(d, t.apex_v), u, hn::Mul(hn::Set(d, t.apex_u), v));
  const F least = hn::Min(v, hn::Min(left1, left2));
  in_plane = hn::IfThenElse(hn::Ge(least, hn::Zero(d)), hn::Zero(d), in_plane);
  return hn::MulAdd(w, w, in_plane);
}

HWY_INLINE void look_at(const PacketTree& tree, std::uint32_t place, const std::array<float, 3>& centre,
                        Packet& packet) {
  const Lanes d;
  const hn::RebindToUnsigned<Lanes> du;
  F at[3];
  for (std::size_t k = 0; k < 3; ++k)
    at[k] = hn::Add(hn::Sub(packet.high[k], hn::Set(d, centre[k])), packet.low[k]);
  const F squared = triangle_squared(tree.triangles[place], at[0], at[1], at[2]);
  const auto nearer = hn::Lt(squared, packet.best);
  packet.best = hn::IfThenElse(nearer, squared, packet.best);
  packet.nearest = hn::IfThenElse(hn::RebindMask(du, nearer), hn::Set(du, place), packet.nearest);
}

HWY_INLINE void look_at_leaf(const PacketTree& tree, const BoxNode& leaf, const std::array<float, 3>& centre,
                             Packet& packet) {
  const Lanes d;
  const hn::RebindToUnsigned<Lanes> du;
  F at[3];
  for (std::size_t k = 0; k < 3; ++k)
    at[k] = hn::Add(hn::Sub(packet.high[k], hn::Set(d, centre[k])), packet.low[k]);
  for (std::uint32_t i = 0; i < leaf.count; ++i) {
    const F squared = triangle_squared(tree.triangles[leaf.first + i], at[0], at[1], at[2]);
    const auto nearer = hn::Lt(squared, packet.best);
    packet.best = hn::IfThenElse(nearer, squared, packet.best);
    packet.nearest = hn::IfThenElse(hn::RebindMask(du, nearer), hn::Set(du, leaf.first + i), packet.nearest);
  }
}

struct Waiting {
  HWY_ALIGN float squared[8];
  std::uint32_t node;
};

HWY_INLINE void search(const BoxTree& boxes, const PacketTree& tree, float slack_mm, Packet& packet) {
  const Lanes d;
  const F slack = hn::Set(d, slack_mm);
  Waiting stack[BoxTree::depth_bound + 2];
  int depth = 0;
  std::uint32_t at = 0;
  for (;;) {
    const BoxNode& node = boxes.nodes[at];
    if (node.count > 0) {
      look_at_leaf(tree, node, tree.centres[at], packet);
    } else {
      const F first = box_squared_distance(boxes.nodes[node.first], packet, slack);
      const F second = box_squared_distance(boxes.nodes[node.first + 1], packet, slack);
      const bool want_first = !hn::AllFalse(d, hn::Lt(first, packet.best));
      const bool want_second = !hn::AllFalse(d, hn::Lt(second, packet.best));
      if (want_first && want_second) {
        const bool first_nearer = hn::GetLane(hn::SumOfLanes(d, hn::Sub(first, second))) <= 0;
        Waiting& later = stack[depth++];
        hn::Store(first_nearer ? second : first, d, later.squared);
        later.node = node.first + (first_nearer ? 1 : 0);
        at = node.first + (first_nearer ? 0 : 1);
        continue;
      }
      if (want_first || want_second) {
        at = node.first + (want_first ? 0 : 1);
        continue;
      }
    }
    do {
      if (depth == 0) return;
      --depth;
    } while (hn::AllFalse(d, hn::Lt(hn::Load(d, stack[depth].squared), packet.best)));
    at = stack[depth].node;
  }
}

HWY_INLINE Packet load(const PacketPoints& points, std::size_t first, float reach_mm) {
  const Lanes d;
  Packet packet;
  for (std::size_t k = 0; k < 3; ++k) {
    packet.high[k] = hn::LoadU(d, &points.high[k][first]);
    packet.low[k] = hn::LoadU(d, &points.low[k][first]);
  }
  packet.best = hn::Set(d, reach_mm < 1e18f ? reach_mm * reach_mm : std::numeric_limits<float>::max());
  packet.nearest = hn::Set(hn::RebindToUnsigned<Lanes>(), no_triangle);
  return packet;
}

void NearestInPackets(const BoxTree& boxes, const PacketTree& tree, const PacketPoints& points,
                      float slack_mm, float reach_mm, std::span<std::uint32_t> nearest) {
  const Lanes d;
  const hn::RebindToUnsigned<Lanes> du;
  const std::size_t lanes = hn::Lanes(d);
  std::uint32_t hint = no_triangle;
  for (std::size_t first = 0; first < points.padded(); first += lanes) {
    Packet packet = load(points, first, reach_mm);
    // The last packet's answer bounds this one's from the start.
    if (hint != no_triangle) look_at(tree, hint, tree.centres[tree.leaf_of[hint]], packet);
    search(boxes, tree, slack_mm, packet);
    hn::StoreU(packet.nearest, du, &nearest[first]);
    hint = nearest[first + lanes - 1];
  }
}

}  // namespace boxfettle::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace boxfettle {

HWY_EXPORT(NearestInPackets);

void nearest_in_packets(const BoxTree& boxes, const PacketTree& tree, const PacketPoints& points,
                        float slack_mm, float reach_mm, std::span<std::uint32_t> nearest) {
  HWY_DYNAMIC_DISPATCH(NearestInPackets)(boxes, tree, points, slack_mm, reach_mm, nearest);
}

namespace {

FramedTriangle framed(const Eigen::Vector3d& a, const Eigen::Vector3d& b, const Eigen::Vector3d& c) {
  // The longest edge becomes the base, so that a sliver's frame is still well defined.
  const double ab = (b - a).squaredNorm(), bc = (c - b).squaredNorm(), ca = (a - c).squaredNorm();
  const Eigen::Vector3d *p0 = &a, *p1 = &b, *p2 = &c;
  if (bc >= ab && bc >= ca) {
    p0 = &b;
    p1 = &c;
    p2 = &a;
  } else if (ca >= ab && ca >= bc) {
    p0 = &c;
    p1 = &a;
    p2 = &b;
  }
  const Eigen::Vector3d base = *p1 - *p0, side = *p2 - *p0;
  const double length = base.norm();
  const Eigen::Vector3d u = length > 0 ? Eigen::Vector3d(base / length) : Eigen::Vector3d::UnitX();
  Eigen::Vector3d v = side - side.dot(u) * u;
  const double height = v.norm();
  v = height > 0 ? Eigen::Vector3d(v / height) : u.unitOrthogonal();
  const Eigen::Vector3d w = u.cross(v);
  const double apex_u = side.dot(u);
  const auto inverse = [](double squared) { return squared > 0 ? static_cast<float>(1 / squared) : 0.0f; };
  FramedTriangle t{};
  for (Eigen::Index k = 0; k < 3; ++k) {
    t.row_u[k] = static_cast<float>(u[k]);
    t.row_v[k] = static_cast<float>(v[k]);
    t.row_w[k] = static_cast<float>(w[k]);
  }
  t.base_u = static_cast<float>(u.dot(*p0));
  t.base_v = static_cast<float>(v.dot(*p0));
  t.base_w = static_cast<float>(w.dot(*p0));
  t.length = static_cast<float>(length);
  t.apex_u = static_cast<float>(apex_u);
  t.apex_v = static_cast<float>(height);
  t.inverse_side1 = inverse((apex_u - length) * (apex_u - length) + height * height);
  t.inverse_side2 = inverse(apex_u * apex_u + height * height);
  return t;
}

}  // namespace

PacketTree packet_tree(const TriangleMesh& mesh, const BoxTree& boxes) {
  PacketTree tree;
  tree.triangles.resize(boxes.order.size());
  tree.leaf_of.resize(boxes.order.size());
  tree.centres.resize(boxes.nodes.size());
  const auto frame_leaf = [&](std::uint32_t n) {
    const BoxNode& node = boxes.nodes[n];
    Eigen::Vector3d centre;
    for (std::size_t k = 0; k < 3; ++k) {
      tree.centres[n][k] = 0.5f * (node.low[k] + node.high[k]);
      centre[static_cast<Eigen::Index>(k)] = static_cast<double>(tree.centres[n][k]);
    }
    for (std::uint32_t i = node.first; i < node.first + node.count; ++i) {
      const std::uint32_t t = boxes.order[i];
      tree.triangles[i] =
          framed(mesh.corner(t, 0) - centre, mesh.corner(t, 1) - centre, mesh.corner(t, 2) - centre);
      tree.leaf_of[i] = n;
    }
  };
  tbb::parallel_for(
      tbb::blocked_range<std::uint32_t>(0, static_cast<std::uint32_t>(boxes.nodes.size()), 1024),
      [&](const auto& range) {
        for (std::uint32_t n = range.begin(); n != range.end(); ++n)
          if (boxes.nodes[n].count > 0) frame_leaf(n);
      });
  return tree;
}

}  // namespace boxfettle
#endif  // HWY_ONCE
