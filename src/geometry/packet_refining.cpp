#include "geometry/packet_refining.hpp"

#include <limits>

#include "geometry/mesh_topology.hpp"
#include "geometry/vector_targets.hpp"

#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "geometry/packet_refining.cpp"
#include <hwy/foreach_target.h>
#include <hwy/highway.h>

HWY_BEFORE_NAMESPACE();
namespace boxfettle::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

using Lanes = hn::CappedTag<double, PacketPoints::packet>;
using V = hn::Vec<Lanes>;

struct Arrow {
  HWY_INLINE Arrow(V x_, V y_, V z_) : x(x_), y(y_), z(z_) {}
  V x, y, z;
};

HWY_INLINE Arrow operator-(const Arrow& a, const Arrow& b) {
  return {hn::Sub(a.x, b.x), hn::Sub(a.y, b.y), hn::Sub(a.z, b.z)};
}
HWY_INLINE V dot(const Arrow& a, const Arrow& b) {
  return hn::MulAdd(a.x, b.x, hn::MulAdd(a.y, b.y, hn::Mul(a.z, b.z)));
}
HWY_INLINE Arrow cross(const Arrow& a, const Arrow& b) {
  return {hn::MulSub(a.y, b.z, hn::Mul(a.z, b.y)), hn::MulSub(a.z, b.x, hn::Mul(a.x, b.z)),
          hn::MulSub(a.x, b.y, hn::Mul(a.y, b.x))};
}

struct CornerRows {
  HWY_ALIGN double at[3][3][PacketPoints::packet];  // corner, axis, lane
  HWY_INLINE void fill(const TriangleMesh& mesh, std::uint32_t triangle, std::size_t lane) {
    for (std::size_t corner = 0; corner < 3; ++corner) {
      const Eigen::Vector3d& v = mesh.vertices[mesh.triangles[triangle][corner]];
      for (std::size_t axis = 0; axis < 3; ++axis)
        at[corner][axis][lane] = v[static_cast<Eigen::Index>(axis)];
    }
  }
  HWY_INLINE Arrow corner(std::size_t which) const {
    const Lanes d;
    return {hn::Load(d, at[which][0]), hn::Load(d, at[which][1]), hn::Load(d, at[which][2])};
  }
};

HWY_INLINE Arrow load(const PacketPoints& points, std::size_t first) {
  const Lanes d;
  const hn::Rebind<float, Lanes> df;
  const auto row = [&](std::size_t axis) {
    return hn::Add(hn::PromoteTo(d, hn::LoadU(df, &points.high[axis][first])),
                   hn::PromoteTo(d, hn::LoadU(df, &points.low[axis][first])));
  };
  return {row(0), row(1), row(2)};
}

// The height where the foot of the perpendicular is inside, by the signs of its barycentric coordinates.
HWY_INLINE V height(const CornerRows& corners, const Arrow& point) {
  constexpr double sliver = 1e-12;  // squared sine
  const Lanes d;
  const Arrow a = corners.corner(0);
  const Arrow ab = corners.corner(1) - a, ac = corners.corner(2) - a, ap = point - a;
  const Arrow n = cross(ab, ac);
  const V nn = dot(n, n), weight_b = dot(n, cross(ap, ac)), weight_c = dot(n, cross(ab, ap));
  const V weight_a = hn::Sub(nn, hn::Add(weight_b, weight_c));
  const V least = hn::Min(weight_a, hn::Min(weight_b, weight_c));
  const V flat = hn::Mul(hn::Set(d, sliver), hn::Mul(dot(ab, ab), dot(ac, ac)));
  const auto inside = hn::And(hn::Ge(least, hn::Zero(d)), hn::Gt(nn, flat));
  return hn::IfThenElse(inside, hn::Div(dot(ap, n), hn::Sqrt(nn)),
                        hn::Set(d, std::numeric_limits<double>::quiet_NaN()));
}

void HeightsOverTriangles(const TriangleMesh& mesh, const PacketPoints& points,
                          std::span<const std::uint32_t> triangle, std::span<double> signed_mm) {
  const Lanes d;
  const std::size_t lanes = hn::Lanes(d);
  CornerRows corners;
  for (std::size_t first = 0; first < points.padded(); first += lanes) {
    for (std::size_t lane = 0; lane < lanes; ++lane) {
      const std::uint32_t t = triangle[first + lane];
      corners.fill(mesh, t == no_triangle ? 0 : t, lane);
    }
    hn::StoreU(height(corners, load(points, first)), d, &signed_mm[first]);
    for (std::size_t lane = 0; lane < lanes; ++lane)
      if (triangle[first + lane] == no_triangle)
        signed_mm[first + lane] = std::numeric_limits<double>::quiet_NaN();
  }
}

}  // namespace boxfettle::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace boxfettle {

HWY_EXPORT(HeightsOverTriangles);

void heights_over_triangles(const TriangleMesh& mesh, const PacketPoints& points,
                            std::span<const std::uint32_t> triangle, std::span<double> signed_mm) {
  HWY_DYNAMIC_DISPATCH(HeightsOverTriangles)(mesh, points, triangle, signed_mm);
}

}  // namespace boxfettle
#endif  // HWY_ONCE
