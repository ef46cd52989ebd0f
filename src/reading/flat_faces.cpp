#include "reading/flat_faces.hpp"

#include <tbb/parallel_for.h>

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

constexpr double same_direction = 0.97;  // cosine between a point's normal and the plane's
constexpr std::size_t fewest_in_face = 12;
constexpr std::size_t most_proposals = 600;

bool lies_in(const OrientedPoint& p, const FlatFace& face, double within_mm) {
  return std::abs(face.normal.dot(p.at_mm - face.centre_mm)) < within_mm &&
         std::abs(face.normal.dot(p.normal)) > same_direction;
}

std::size_t count_in(std::span<const OrientedPoint> points, const FlatFace& face, double within_mm) {
  return static_cast<std::size_t>(std::count_if(
      points.begin(), points.end(), [&](const OrientedPoint& p) { return lies_in(p, face, within_mm); }));
}

FlatFace fitted(std::span<const OrientedPoint> points, const FlatFace& rough, double within_mm) {
  FlatFace face = rough;
  face.points = 0;
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  for (const OrientedPoint& p : points)
    if (lies_in(p, rough, within_mm)) {
      sum += p.at_mm;
      ++face.points;
    }
  if (face.points < 3) return rough;
  face.centre_mm = sum / static_cast<double>(face.points);
  Eigen::Matrix3d spread = Eigen::Matrix3d::Zero();
  for (const OrientedPoint& p : points)
    if (lies_in(p, rough, within_mm))
      spread += (p.at_mm - face.centre_mm) * (p.at_mm - face.centre_mm).transpose();
  face.normal = Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>(spread).eigenvectors().col(0);
  return face;
}

}  // namespace

std::vector<FlatFace> flat_faces(std::span<const OrientedPoint> given, double within_mm, std::size_t most) {
  std::vector<OrientedPoint> points(given.begin(), given.end());
  std::vector<FlatFace> faces;
  while (faces.size() < most && points.size() >= fewest_in_face) {
    const std::size_t step = points.size() / most_proposals + 1;
    std::vector<FlatFace> proposed((points.size() + step - 1) / step);
    // A point's own normal is a little off, and a plane a little off loses its far ends: twice as thick
    // first.
    tbb::parallel_for(std::size_t{0}, proposed.size(), [&](std::size_t i) {
      const OrientedPoint& p = points[i * step];
      proposed[i] = {p.at_mm, p.normal, 0};
      proposed[i] = fitted(points, proposed[i], 2 * within_mm);
      proposed[i] = fitted(points, proposed[i], within_mm);
      proposed[i].points = count_in(points, proposed[i], within_mm);
    });
    const FlatFace best =
        *std::max_element(proposed.begin(), proposed.end(),
                          [](const FlatFace& a, const FlatFace& b) { return a.points < b.points; });
    if (best.points < fewest_in_face) break;
    faces.push_back(best);
    std::erase_if(points, [&](const OrientedPoint& p) { return lies_in(p, best, within_mm); });
  }
  return faces;
}

}  // namespace boxfettle
