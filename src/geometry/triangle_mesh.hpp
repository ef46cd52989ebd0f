// A surface made of triangles. Lengths in mm. Counter-clockwise seen from outside, when the file kept to
// that.
#pragma once

#include <Eigen/Geometry>
#include <array>
#include <cstdint>
#include <vector>

namespace boxfettle {

using Triangle = std::array<std::uint32_t, 3>;

struct TriangleMesh {
  std::vector<Eigen::Vector3d> vertices;
  std::vector<Triangle> triangles;  // indices into vertices, each below vertices.size()

  const Eigen::Vector3d& corner(std::size_t triangle, int which) const {
    return vertices[triangles[triangle][static_cast<std::size_t>(which)]];
  }
};

inline Eigen::Vector3d centre(const TriangleMesh& mesh, std::size_t triangle) {
  return (mesh.corner(triangle, 0) + mesh.corner(triangle, 1) + mesh.corner(triangle, 2)) / 3;
}

// Twice the area times the unit normal of one triangle.
inline Eigen::Vector3d doubled_area_vector(const TriangleMesh& mesh, std::size_t triangle) {
  return (mesh.corner(triangle, 1) - mesh.corner(triangle, 0))
      .cross(mesh.corner(triangle, 2) - mesh.corner(triangle, 0));
}

double area_mm2(const TriangleMesh& mesh);
double enclosed_volume_mm3(const TriangleMesh& mesh);  // by the divergence theorem; negative when inside out

struct Bounds {
  Eigen::Vector3d low = Eigen::Vector3d::Constant(1e300);
  Eigen::Vector3d high = Eigen::Vector3d::Constant(-1e300);

  void include(const Eigen::Vector3d& point) {
    low = low.cwiseMin(point);
    high = high.cwiseMax(point);
  }
  bool empty() const { return low.x() > high.x(); }
  Eigen::Vector3d centre() const { return 0.5 * (low + high); }
  double diagonal() const { return empty() ? 0.0 : (high - low).norm(); }
};
Bounds bounds(const TriangleMesh& mesh);

}  // namespace boxfettle
