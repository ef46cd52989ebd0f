// Witness: CGAL 5.5, packages "3D Fast Intersection and Distance Computation" (AABB tree) and "Polygon Mesh
// Processing" (Side_of_triangle_mesh), https://doc.cgal.org/5.5.1/. Its predicates are exact and its
// distances are computed in double.
#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Side_of_triangle_mesh.h>
#include <CGAL/Surface_mesh.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <iostream>
#include <stdexcept>
#include <vector>

#include "demo/invented_cores.hpp"
#include "demo/scattered_points.hpp"
#include "geometry/closest_point.hpp"
#include "geometry/morton_order.hpp"

namespace boxfettle {
namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Surface = CGAL::Surface_mesh<Kernel::Point_3>;
using Tree = CGAL::AABB_tree<CGAL::AABB_traits<Kernel, CGAL::AABB_face_graph_triangle_primitive<Surface>>>;

Surface cgal_surface(const TriangleMesh& mesh) {
  Surface surface;
  std::vector<Surface::Vertex_index> vertices;
  for (const Eigen::Vector3d& v : mesh.vertices)
    vertices.push_back(surface.add_vertex({v.x(), v.y(), v.z()}));
  for (const Triangle& t : mesh.triangles)
    if (surface.add_face(vertices[t[0]], vertices[t[1]], vertices[t[2]]) == Surface::null_face())
      throw std::logic_error("the volute is not a manifold");
  return surface;
}

class Witness {
 public:
  explicit Witness(const TriangleMesh& mesh)
      : surface_(cgal_surface(mesh)), tree_(faces(surface_).begin(), faces(surface_).end(), surface_) {
    tree_.accelerate_distance_queries();
  }
  double signed_mm(const Eigen::Vector3d& p) const {
    const Kernel::Point_3 point(p.x(), p.y(), p.z());
    const double distance = std::sqrt(tree_.squared_distance(point));
    return side_(point) == CGAL::ON_UNBOUNDED_SIDE ? distance : -distance;
  }

 private:
  Surface surface_;
  Tree tree_;
  CGAL::Side_of_triangle_mesh<Surface, Kernel> side_{tree_};
};

struct WorstDifference {
  double one_point_mm = 0, bulk_mm = 0;
  std::size_t inside = 0, outside = 0;
};

WorstDifference worst_difference(const SurfaceIndex& index, const Witness& witness, const PointCloud& cloud) {
  const std::vector<SurfaceHit> bulk = index.closest(cloud, RigidPose{});
  WorstDifference worst;
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const double expected = witness.signed_mm(cloud.point_mm(i));
    // The bulk answer is held in a float, whose rounding (half of 2^-23 of the value) is not the search's.
    const double rounding = 6e-8 * std::abs(expected);
    worst.one_point_mm =
        std::max(worst.one_point_mm, std::abs(index.closest(cloud.point_mm(i)).signed_mm - expected));
    worst.bulk_mm = std::max(worst.bulk_mm, std::abs(bulk[i].signed_mm - expected) - rounding);
    ++(expected < 0 ? worst.inside : worst.outside);
  }
  return worst;
}

// 100,000 points in all: as a scan lies, as a badly worn or displaced place lies, and well off the core.
TEST(SurfaceIndexAgainstCgal, SignedDistancesToThePumpVoluteAgreeToAMillionthOfAMillimetre) {
  const TriangleMesh volute = demo::pump_volute().design;
  const SurfaceIndex index(volute);
  const Witness witness(volute);
  struct {
    double spread_mm;
    std::size_t count;
  } const samples[] = {{0.05, 50000}, {1.0, 30000}, {5.0, 20000}};
  for (const auto& [spread_mm, count] : samples) {
    const WorstDifference worst =
        worst_difference(index, witness, in_morton_order(demo::points_about(volute, count, spread_mm, 29)));
    std::cout << count << " points " << spread_mm << " mm about " << volute.triangles.size()
              << " triangles: worst one by one " << worst.one_point_mm << " mm, in bulk " << worst.bulk_mm
              << " mm\n";
    EXPECT_LT(worst.one_point_mm, 1e-6);
    EXPECT_LT(worst.bulk_mm, 1e-6);
    EXPECT_GT(worst.inside, count / 4);
    EXPECT_GT(worst.outside, count / 4);
  }
}

}  // namespace
}  // namespace boxfettle
