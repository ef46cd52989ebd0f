#include "demo/scattered_points.hpp"

#include <cmath>

#include "demo/dice.hpp"

namespace boxfettle::demo {

PointCloud points_about(const TriangleMesh& mesh, std::size_t count, double spread_mm, std::uint64_t seed) {
  Dice dice(seed);
  PointCloud cloud;
  cloud.offsets_mm.reserve(count);
  for (std::size_t i = 0; i < count; ++i) {
    const auto t = static_cast<std::size_t>(dice.below(mesh.triangles.size()));
    const double r = std::sqrt(dice.uniform()), s = dice.uniform();
    Eigen::Vector3d at =
        (1 - r) * mesh.corner(t, 0) + r * (1 - s) * mesh.corner(t, 1) + r * s * mesh.corner(t, 2);
    for (int axis = 0; axis < 3; ++axis) at[axis] += spread_mm * dice.normal();
    cloud.offsets_mm.push_back(at.cast<float>());
  }
  return cloud;
}

}  // namespace boxfettle::demo
