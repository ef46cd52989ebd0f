#include <cmath>
#include <cstdlib>

#include "fuzz/readers.hpp"

namespace boxfettle::fuzz {
namespace {

void expect(bool sound) {
  if (!sound) std::abort();
}

void expect_sound(const TriangleMesh& mesh) {
  expect(!mesh.triangles.empty());
  for (const Triangle& triangle : mesh.triangles)
    for (const std::uint32_t vertex : triangle) expect(vertex < mesh.vertices.size());
  for (const Eigen::Vector3d& vertex : mesh.vertices) expect(vertex.cwiseAbs().maxCoeff() <= 1e7);
}

void expect_sound(const PointCloud& points) {
  expect(points.size() > 0);
  expect(points.normals.empty() || points.normals.size() == points.size());
  for (std::size_t i = 0; i < points.size(); ++i) expect(points.point_mm(i).allFinite());
  for (const Eigen::Vector3f& normal : points.normals) expect(std::abs(normal.norm() - 1) < 1e-4f);
}

}  // namespace

void expect_sound(const SurfaceFile& file) {
  std::visit([](const auto& surface) { expect_sound(surface); }, file.surface);
}

}  // namespace boxfettle::fuzz
