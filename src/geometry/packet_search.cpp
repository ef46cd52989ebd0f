#include "geometry/packet_search.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <bit>
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

using Wide = hn::CappedTag<double, 8>;  // triangles framed at once
using D = hn::Vec<Wide>;

struct Arrows {
  D x, y, z;
};

HWY_INLINE Arrows minus(const Arrows& a, const Arrows& b) {
  return {hn::Sub(a.x, b.x), hn::Sub(a.y, b.y), hn::Sub(a.z, b.z)};
}
HWY_INLINE D dot(const Arrows& a, const Arrows& b) {
  return hn::MulAdd(a.x, b.x, hn::MulAdd(a.y, b.y, hn::Mul(a.z, b.z)));
}
HWY_INLINE Arrows times(const Arrows& a, D factor) {
  return {hn::Mul(a.x, factor), hn::Mul(a.y, factor), hn::Mul(a.z, factor)};
}
template <typename Mask>
HWY_INLINE Arrows either(Mask first, const Arrows& a, const Arrows& b) {
  return {hn::IfThenElse(first, a.x, b.x), hn::IfThenElse(first, a.y, b.y), hn::IfThenElse(first, a.z, b.z)};
}
HWY_INLINE D inverse_or_zero(D value) {
  const Wide d;
  return hn::IfThenElseZero(hn::Gt(value, hn::Zero(d)), hn::Div(hn::Set(d, 1.0), value));
}

// Some direction at right angles to u, of length 1.
HWY_INLINE Arrows across(const Arrows& u) {
  const Wide d;
  const D none = hn::Zero(d);
  const auto off_x = hn::Lt(hn::Abs(u.x), hn::Set(d, 0.6));
  const Arrows v = either(off_x, Arrows{none, u.z, hn::Neg(u.y)}, Arrows{hn::Neg(u.z), none, u.x});
  return times(v, hn::Div(hn::Set(d, 1.0), hn::Sqrt(dot(v, v))));
}

// What a FramedTriangle holds, in the order of its numbers, a lane a triangle.
constexpr std::size_t frame_numbers = sizeof(FramedTriangle) / sizeof(float);
static_assert(frame_numbers == 17);

HWY_INLINE void frame(const Arrows& a, const Arrows& b, const Arrows& c, double (*out)[8]) {
  const Wide d;
  // The longest edge becomes the base, so that a sliver's frame is still well defined.
  const Arrows to_b = minus(b, a), to_c = minus(c, b), to_a = minus(a, c);
  const D ab = dot(to_b, to_b), bc = dot(to_c, to_c), ca = dot(to_a, to_a);
  const auto from_b = hn::And(hn::Ge(bc, ab), hn::Ge(bc, ca));
  const auto from_c = hn::AndNot(from_b, hn::And(hn::Ge(ca, ab), hn::Ge(ca, bc)));
  const Arrows origin = either(from_b, b, either(from_c, c, a));
  const Arrows base = either(from_b, to_c, either(from_c, to_a, to_b));
  const Arrows side = either(from_b, minus(a, b), either(from_c, minus(b, c), minus(c, a)));
  const D length = hn::Sqrt(dot(base, base)), one = hn::Set(d, 1.0), none = hn::Zero(d);
  const Arrows u =
      either(hn::Gt(length, none), times(base, inverse_or_zero(length)), Arrows{one, none, none});
  const D apex_u = dot(side, u);
  const Arrows rise = minus(side, times(u, apex_u));
  const D height = hn::Sqrt(dot(rise, rise));
  const Arrows v = either(hn::Gt(height, none), times(rise, inverse_or_zero(height)), across(u));
  const Arrows w{hn::MulSub(u.y, v.z, hn::Mul(u.z, v.y)), hn::MulSub(u.z, v.x, hn::Mul(u.x, v.z)),
                 hn::MulSub(u.x, v.y, hn::Mul(u.y, v.x))};
  const D past = hn::Sub(apex_u, length), height_squared = hn::Mul(height, height);
  const D numbers[frame_numbers] = {u.x,
                                    u.y,
                                    u.z,
                                    v.x,
                                    v.y,
                                    v.z,
                                    w.x,
                                    w.y,
                                    w.z,
                                    dot(u, origin),
                                    dot(v, origin),
                                    dot(w, origin),
                                    length,
                                    apex_u,
                                    height,
                                    inverse_or_zero(hn::MulAdd(past, past, height_squared)),
                                    inverse_or_zero(hn::MulAdd(apex_u, apex_u, height_squared))};
  for (std::size_t k = 0; k < frame_numbers; ++k) hn::Store(numbers[k], d, out[k]);
}

// The triangles at places `first` to `end` of the leaves' order, each seen from its leaf's centre.
void FrameTriangles(const TriangleMesh& mesh, const BoxTree& boxes, std::uint32_t first, std::uint32_t end,
                    PacketTree& tree) {
  const Wide d;
  const auto lanes = static_cast<std::uint32_t>(hn::Lanes(d));
  HWY_ALIGN double at[3][3][8];  // corner, axis, lane
  HWY_ALIGN double numbers[frame_numbers][8];
  const auto corner = [&](std::size_t which) -> Arrows {
    return {hn::Load(d, at[which][0]), hn::Load(d, at[which][1]), hn::Load(d, at[which][2])};
  };
  for (std::uint32_t place = first; place < end; place += lanes) {
    for (std::uint32_t lane = 0; lane < lanes; ++lane) {
      const std::uint32_t here = std::min(place + lane, end - 1);
      const Triangle& t = mesh.triangles[boxes.order[here]];
      const std::array<float, 3>& centre = tree.centres[tree.leaf_of[here]];
      for (std::size_t which = 0; which < 3; ++which)
        for (std::size_t k = 0; k < 3; ++k)
          at[which][k][lane] =
              mesh.vertices[t[which]][static_cast<Eigen::Index>(k)] - static_cast<double>(centre[k]);
    }
    frame(corner(0), corner(1), corner(2), numbers);
    for (std::uint32_t lane = 0; lane < std::min(lanes, end - place); ++lane) {
      std::array<float, frame_numbers> told;
      for (std::size_t k = 0; k < frame_numbers; ++k) told[k] = static_cast<float>(numbers[k][lane]);
      tree.triangles[place + lane] = std::bit_cast<FramedTriangle>(told);
    }
  }
}

}  // namespace boxfettle::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace boxfettle {

HWY_EXPORT(NearestInPackets);
HWY_EXPORT(FrameTriangles);

void nearest_in_packets(const BoxTree& boxes, const PacketTree& tree, const PacketPoints& points,
                        float slack_mm, float reach_mm, std::span<std::uint32_t> nearest) {
  HWY_DYNAMIC_DISPATCH(NearestInPackets)(boxes, tree, points, slack_mm, reach_mm, nearest);
}

PacketTree packet_tree(const TriangleMesh& mesh, const BoxTree& boxes) {
  PacketTree tree;
  tree.triangles.resize(boxes.order.size());
  tree.leaf_of.resize(boxes.order.size());
  tree.centres.resize(boxes.nodes.size());
  for (std::uint32_t n = 0; n < boxes.nodes.size(); ++n) {
    const BoxNode& node = boxes.nodes[n];
    for (std::size_t k = 0; k < 3; ++k) tree.centres[n][k] = 0.5f * (node.low[k] + node.high[k]);
    if (node.count > 0) std::fill_n(tree.leaf_of.begin() + node.first, node.count, n);
  }
  const auto all = static_cast<std::uint32_t>(boxes.order.size());
  tbb::parallel_for(tbb::blocked_range<std::uint32_t>(0, all, 4096), [&](const auto& range) {
    HWY_DYNAMIC_DISPATCH(FrameTriangles)(mesh, boxes, range.begin(), range.end(), tree);
  });
  return tree;
}

}  // namespace boxfettle
#endif  // HWY_ONCE
