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

namespace boxfettle {
namespace {

std::vector<Eigen::Vector3f> unit_normals(const TriangleMesh& mesh) {
  std::vector<Eigen::Vector3f> normals(mesh.triangles.size());
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, normals.size(), 4096), [&](const auto& range) {
    for (std::size_t t = range.begin(); t != range.end(); ++t) {
      const Eigen::Vector3d n = doubled_area_vector(mesh, t);
      const double doubled_area = n.norm();
      normals[t] =
          doubled_area > 0 ? Eigen::Vector3f((n / doubled_area).cast<float>()) : Eigen::Vector3f::Zero();
    }
  });
  return normals;
}

double angle_at(const TriangleMesh& mesh, std::uint32_t triangle, std::size_t corner) {
  const auto vertex = [&](std::size_t c) -> const Eigen::Vector3d& {
    return mesh.corner(triangle, static_cast<int>(c % 3));
  };
  const Eigen::Vector3d one = vertex(corner + 1) - vertex(corner),
                        other = vertex(corner + 2) - vertex(corner);
  return std::atan2(one.cross(other).norm(), one.dot(other));
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
  std::vector<Eigen::Vector3f> triangle_normals;
  BoxTree boxes;
  PacketTree packets;
  // Query points are rounded to float before they meet the boxes; this much slack keeps that rounding
  // harmless.
  float slack_mm;

  Tree(const TriangleMesh& surface, MeshTopology surface_topology)
      : mesh(surface),
        topology(std::move(surface_topology)),
        triangle_normals(unit_normals(surface)),
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
    if (p < 3) return corner_normal(triangle, p);
    const std::uint32_t other = topology.neighbours[triangle][p - 3];
    Eigen::Vector3f sum = triangle_normals[triangle];
    if (other != no_triangle) sum += triangle_normals[other];
    return sum.cast<double>();
  }

  // Of all triangles about a corner, each by its angle there. They are found by walking round it when a point
  // asks: few points do, and no table of all vertices need be made. A mesh with more about one corner than
  // this gets what the walk met.
  Eigen::Vector3d corner_normal(std::uint32_t triangle, std::size_t corner) const {
    constexpr int most_about = 4096;
    const std::uint32_t vertex = mesh.triangles[triangle][corner];
    const auto weighted = [&](std::uint32_t t, std::size_t c) -> Eigen::Vector3d {
      return angle_at(mesh, t, c) * triangle_normals[t].cast<double>();
    };
    Eigen::Vector3d sum = weighted(triangle, corner);
    for (const std::size_t first_side : {corner, (corner + 2) % 3}) {
      std::uint32_t from = triangle, at = topology.neighbours[triangle][first_side];
      for (int met = 1; at != no_triangle && met < most_about; ++met) {
        if (at == triangle) return sum;  // all the way round
        const Triangle& here = mesh.triangles[at];
        const auto c = static_cast<std::size_t>(std::find(here.begin(), here.end(), vertex) - here.begin());
        sum += weighted(at, c);
        const std::uint32_t next = topology.neighbours[at][c];
        const std::uint32_t onward = next != from ? next : topology.neighbours[at][(c + 2) % 3];
        from = at;
        at = onward;
      }
    }
    return sum;
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

Eigen::Vector3d SurfaceIndex::nearest_on(std::uint32_t triangle, const Eigen::Vector3d& point_mm) const {
  return tree_->on_triangle(triangle, point_mm).place.at_mm;
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
