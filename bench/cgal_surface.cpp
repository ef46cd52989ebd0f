#include "cgal_surface.hpp"

#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/AABB_triangle_primitive.h>
#include <CGAL/Simple_cartesian.h>

#include <cmath>

namespace boxfettle::bench {
namespace {

using Kernel = CGAL::Simple_cartesian<double>;
using Triangles = std::vector<Kernel::Triangle_3>;
using Primitive = CGAL::AABB_triangle_primitive<Kernel, Triangles::const_iterator>;

Triangles triangles_of(const TriangleMesh& mesh) {
  const auto point = [](const Eigen::Vector3d& v) { return Kernel::Point_3(v.x(), v.y(), v.z()); };
  Triangles triangles;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    triangles.emplace_back(point(mesh.corner(t, 0)), point(mesh.corner(t, 1)), point(mesh.corner(t, 2)));
  return triangles;
}

}  // namespace

struct CgalSurface::Tree {
  Triangles triangles;
  CGAL::AABB_tree<CGAL::AABB_traits<Kernel, Primitive>> boxes;

  explicit Tree(const TriangleMesh& mesh)
      : triangles(triangles_of(mesh)), boxes(triangles.cbegin(), triangles.cend()) {
    boxes.build();
    boxes.accelerate_distance_queries();
  }
};

CgalSurface::CgalSurface(const TriangleMesh& mesh) : tree_(std::make_unique<Tree>(mesh)) {}
CgalSurface::~CgalSurface() = default;
CgalSurface::CgalSurface(CgalSurface&&) noexcept = default;
CgalSurface& CgalSurface::operator=(CgalSurface&&) noexcept = default;

std::vector<double> CgalSurface::distances_mm(const PointCloud& cloud) const {
  std::vector<double> distances;
  distances.reserve(cloud.size());
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const Eigen::Vector3d p = cloud.point_mm(i);
    distances.push_back(std::sqrt(tree_->boxes.squared_distance({p.x(), p.y(), p.z()})));
  }
  return distances;
}

}  // namespace boxfettle::bench
