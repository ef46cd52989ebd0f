#include "demo/plain_solids.hpp"

namespace boxfettle::demo {

TriangleMesh block(const Eigen::Vector3d& size_mm, const Eigen::Vector3d& low_mm) {
  TriangleMesh mesh;
  for (int i = 0; i < 8; ++i)
    mesh.vertices.push_back(low_mm + size_mm.cwiseProduct(Eigen::Vector3d(i & 1, i >> 1 & 1, i >> 2)));
  mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                    {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return mesh;
}

void add(TriangleMesh& mesh, const TriangleMesh& more) {
  const auto first = static_cast<std::uint32_t>(mesh.vertices.size());
  mesh.vertices.insert(mesh.vertices.end(), more.vertices.begin(), more.vertices.end());
  for (const Triangle& t : more.triangles)
    mesh.triangles.push_back({first + t[0], first + t[1], first + t[2]});
}

}  // namespace boxfettle::demo
