#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

double area_mm2(const TriangleMesh& mesh) {
  double doubled = 0;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) doubled += doubled_area_vector(mesh, t).norm();
  return 0.5 * doubled;
}

double enclosed_volume_mm3(const TriangleMesh& mesh) {
  if (mesh.triangles.empty()) return 0;
  // Measured from a corner of the mesh itself: from a far origin the signed cones would cancel digits away.
  const Eigen::Vector3d origin = mesh.corner(0, 0);
  double sixfold = 0;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    sixfold += doubled_area_vector(mesh, t).dot(mesh.corner(t, 0) - origin);
  return sixfold / 6;
}

Bounds bounds(const TriangleMesh& mesh) {
  Bounds box;
  for (const Eigen::Vector3d& vertex : mesh.vertices) box.include(vertex);
  return box;
}

}  // namespace boxfettle
