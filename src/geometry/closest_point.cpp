#include "geometry/closest_point.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>
#include <utility>

#include "geometry/box_tree.hpp"
#include "geometry/packet_refining.hpp"
#include "geometry/packet_search.hpp"
#include "geometry/point_triangle.hpp"
#include "geometry/quick_angle.hpp"

namespace boxfettle {
namespace {

// Of each triangle: its unit normal, and the angles at its corners, by which they weigh it.
struct Facing {
  std::vector<Eigen::Vector3f> normals, angles;
  explicit Facing(const TriangleMesh& mesh) : normals(mesh.triangles.size()), angles(normals.size()) {
    tbb::parallel_for(tbb::blocked_range<std::size_t>(0, normals.size(), 4096), [&](const auto& range) {
      for (std::size_t t = range.begin(); t != range.end(); ++t) {
        const Eigen::Vector3d ab = mesh.corner(t, 1) - mesh.corner(t, 0),
                              ac = mesh.corner(t, 2) - mesh.corner(t, 0), bc = ac - ab, n = ab.cross(ac);
        const double doubled_area = n.norm();
        normals[t] =
            doubled_area > 0 ? Eigen::Vector3f((n / doubled_area).cast<float>()) : Eigen::Vector3f::Zero();
        const auto angle = [&](double cosine) {
          return quick_angle(static_cast<float>(doubled_area), static_cast<float>(cosine));
        };
        angles[t] = {angle(ab.dot(ac)), angle(-ab.dot(bc)), angle(ac.dot(bc))};
      }
    });
  }
};

std::vector<Eigen::Vector3f> vertex_pseudo_normals(const TriangleMesh& mesh, const Facing& facing) {
  std::vector<Eigen::Vector3f> normals(mesh.vertices.size(), Eigen::Vector3f::Zero());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (std::size_t corner = 0; corner < 3; ++corner)
      normals[mesh.triangles[t][corner]] +=
          facing.angles[t][static_cast<Eigen::Index>(corner)] * facing.normals[t];
  return normals;
}

PacketPoints packet_points(const PointCloud& cloud, const RigidPose& pose, std::size_t first,
                           std::size_t count) {
  PacketPoints points;
  points.count = count;
  for (std::size_t i = 0; i < points.padded(); ++i) {
    const Eigen::Vector3d p = pose * cloud.point_mm(first + std::min(i, count - 1));
    for (std::size_t k = 0; k < 3; ++k) {
      const double x = p[static_cast<Eigen::Index>(k)];
      points.high[k][i] = static_cast<float>(x);
      points.low[k][i] = static_cast<float>(x - static_cast<double>(points.high[k][i]));
    }
  }
  return points;
}

struct Nearest {
  double squared = std::numeric_limits<double>::infinity();
  TrianglePlace place{};
  std::uint32_t triangle = no_triangle;
};

}  // namespace

struct SurfaceIndex::Tree {
  const TriangleMesh& mesh;
  MeshTopology topology;
  std::vector<Eigen::Vector3f> vertex_normals;
  std::vector<Eigen::Vector3f> triangle_normals;
  BoxTree boxes;
  PacketTree packets;
  // Query points are rounded to float before they meet the boxes; this much slack keeps that rounding
  // harmless.
  float slack_mm;

  Tree(const TriangleMesh& surface, MeshTopology surface_topology)
      : Tree(surface, std::move(surface_topology), Facing(surface)) {}
  Tree(const TriangleMesh& surface, MeshTopology surface_topology, Facing facing)
      : mesh(surface),
        topology(std::move(surface_topology)),
        vertex_normals(vertex_pseudo_normals(surface, facing)),
        triangle_normals(std::move(facing.normals)),
        boxes(build_box_tree(surface)),
        packets(packet_tree(surface, boxes)) {
    const Bounds all = bounds(surface);
    slack_mm =
        static_cast<float>(4e-7 * std::max(all.low.cwiseAbs().maxCoeff(), all.high.cwiseAbs().maxCoeff()));
  }

  Nearest on_triangle(std::uint32_t triangle, const Eigen::Vector3d& point) const {
    const TrianglePlace place = closest_on_triangle(point, mesh.corner(triangle, 0), mesh.corner(triangle, 1),
                                                    mesh.corner(triangle, 2));
    return {(point - place.at_mm).squaredNorm(), place, triangle};
  }
  void look_at(std::uint32_t triangle, const Eigen::Vector3d& point, Nearest& best) const {
    const Nearest here = on_triangle(triangle, point);
    if (here.squared < best.squared) best = here;
  }

  Nearest nearest(const Eigen::Vector3d& point) const {
    Nearest best;
    const std::array<float, 3> p{static_cast<float>(point.x()), static_cast<float>(point.y()),
                                 static_cast<float>(point.z())};
    struct Waiting {
      std::uint32_t node;
      float squared;
    };
    std::array<Waiting, BoxTree::depth_bound + 2> stack;
    std::size_t depth = 0;
    stack[depth++] = {0, 0};
    while (depth > 0) {
      const Waiting next = stack[--depth];
      const double reach = std::sqrt(best.squared) + slack_mm;
      if (next.squared > reach * reach) continue;
      const BoxNode& node = boxes.nodes[next.node];
      if (node.count > 0) {
        for (std::uint32_t i = 0; i < node.count; ++i) look_at(boxes.order[node.first + i], point, best);
        continue;
      }
      Waiting near{node.first, boxes.squared_distance(boxes.nodes[node.first], p)};
      Waiting far{node.first + 1, boxes.squared_distance(boxes.nodes[node.first + 1], p)};
      if (far.squared < near.squared) std::swap(near, far);
      stack[depth++] = far;
      stack[depth++] = near;
    }
    return best;
  }

  void hit_all(const PointCloud& cloud, const RigidPose& pose, double reach_mm, std::span<SurfaceHit> hits,
               std::size_t first) const;

  Eigen::Vector3d pseudo_normal(std::uint32_t triangle, TrianglePart part) const {
    const auto p = static_cast<std::size_t>(part);
    if (part == TrianglePart::inside) return triangle_normals[triangle].cast<double>();
    if (p < 3) return vertex_normals[mesh.triangles[triangle][p]].cast<double>();
    const std::uint32_t other = topology.neighbours[triangle][p - 3];
    Eigen::Vector3f sum = triangle_normals[triangle];
    if (other != no_triangle) sum += triangle_normals[other];
    return sum.cast<double>();
  }

  double signed_distance(const Eigen::Vector3d& point, const Nearest& best) const {
    const double distance = std::sqrt(best.squared);
    const Eigen::Vector3d away = point - best.place.at_mm;
    return away.dot(pseudo_normal(best.triangle, best.place.part)) < 0 ? -distance : distance;
  }
};

// The points from `first` on, as many as there are hits.
void SurfaceIndex::Tree::hit_all(const PointCloud& cloud, const RigidPose& pose, double reach_mm,
                                 std::span<SurfaceHit> hits, std::size_t first) const {
  PacketPoints points = packet_points(cloud, pose, first, hits.size());
  std::array<std::uint32_t, PacketPoints::most> nearest;
  nearest_in_packets(boxes, packets, points, slack_mm, static_cast<float>(reach_mm), nearest);
  for (std::uint32_t& triangle : std::span(nearest).first(points.padded()))
    triangle = triangle == no_triangle ? no_triangle : boxes.order[triangle];
  std::array<double, PacketPoints::most> height_mm;
  heights_over_triangles(mesh, points, nearest, height_mm);
  for (std::size_t i = 0; i < hits.size(); ++i) {
    if (nearest[i] == no_triangle)
      hits[i] = {std::numeric_limits<float>::infinity(), no_triangle};
    else if (std::isnan(height_mm[i])) {
      const Eigen::Vector3d p = pose * cloud.point_mm(first + i);
      hits[i] = {static_cast<float>(signed_distance(p, on_triangle(nearest[i], p))), nearest[i]};
    } else
      hits[i] = {static_cast<float>(height_mm[i]), nearest[i]};
  }
}

SurfaceIndex::SurfaceIndex(const TriangleMesh& mesh) : SurfaceIndex(mesh, mesh_topology(mesh)) {}
SurfaceIndex::SurfaceIndex(const TriangleMesh& mesh, MeshTopology topology)
    : tree_(std::make_unique<Tree>(mesh, std::move(topology))) {}
SurfaceIndex::~SurfaceIndex() = default;
SurfaceIndex::SurfaceIndex(SurfaceIndex&&) noexcept = default;
SurfaceIndex& SurfaceIndex::operator=(SurfaceIndex&&) noexcept = default;

const MeshTopology& SurfaceIndex::topology() const {
  return tree_->topology;
}
const std::vector<Eigen::Vector3f>& SurfaceIndex::triangle_normals() const {
  return tree_->triangle_normals;
}

PlaceSeen SurfaceIndex::seen_from(const Eigen::Vector3d& point_mm, std::uint32_t triangle) const {
  const Nearest here = tree_->on_triangle(triangle, point_mm);
  const double distance = tree_->signed_distance(point_mm, here);
  if (distance == 0) return {0, triangle_normals()[triangle].cast<double>()};
  return {distance, (point_mm - here.place.at_mm) / distance};
}

SurfacePoint SurfaceIndex::closest(const Eigen::Vector3d& point_mm) const {
  const Nearest best = tree_->nearest(point_mm);
  return {best.place.at_mm, tree_->signed_distance(point_mm, best), best.triangle};
}

std::vector<SurfaceHit> SurfaceIndex::closest(const PointCloud& cloud, const RigidPose& surface_from_cloud,
                                              double reach_mm) const {
  std::vector<SurfaceHit> hits(cloud.size());
  // A fixed grain: a chunk's first hint, and with it the choice among equally near triangles, never depends
  // on threads.
  constexpr std::size_t grain = PacketPoints::most;
  tbb::parallel_for(std::size_t{0}, (cloud.size() + grain - 1) / grain, [&](std::size_t chunk) {
    const std::size_t first = chunk * grain;
    tree_->hit_all(cloud, surface_from_cloud, reach_mm,
                   std::span(hits).subspan(first, std::min(grain, cloud.size() - first)), first);
  });
  return hits;
}

}  // namespace boxfettle
