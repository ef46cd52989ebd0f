#include "reading/known_place.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace boxfettle {
namespace {

constexpr std::size_t fewest_points = 20, fewest_close = 5;  // close: within half of the radius

// Strays may lie anywhere; a worn place itself varies by its own depth.
std::vector<PatchPoint> without_strays(std::vector<PatchPoint> points, double noise_mm) {
  const auto middle = points.begin() + static_cast<std::ptrdiff_t>(points.size() / 2);
  std::nth_element(points.begin(), middle, points.end(),
                   [](const PatchPoint& a, const PatchPoint& b) { return a.deviation_mm < b.deviation_mm; });
  const double usual_mm = middle->deviation_mm, reach_mm = 5 * noise_mm + std::abs(usual_mm);
  std::erase_if(points, [&](const PatchPoint& p) { return std::abs(p.deviation_mm - usual_mm) > reach_mm; });
  return points;
}

}  // namespace

KnownPlace place_of(const Finding& finding, const TriangleMesh& surface) {
  // As wide as the finding's own depth was taken over: a bump is close to a quadric that far.
  constexpr double share_of_radius = 0.45;
  KnownPlace place{finding.where_mm, share_of_radius * std::sqrt(finding.area_mm2 / std::numbers::pi),
                   std::vector<bool>(surface.triangles.size(), false)};
  std::vector<bool> in(surface.vertices.size(), false);
  for (const std::uint32_t v : finding.vertices) in[v] = true;
  for (std::size_t t = 0; t < surface.triangles.size(); ++t) {
    const Triangle& corners = surface.triangles[t];
    place.holds_triangle[t] = in[corners[0]] && in[corners[1]] && in[corners[2]];
  }
  return place;
}

std::vector<PatchPoint> points_at(const KnownPlace& place, const MeasuredPoints& measured) {
  std::vector<PatchPoint> near;
  for (const MeasuredPoint& p : measured.points) {
    if (!place.holds_triangle[p.triangle]) continue;
    const Eigen::Vector3d at = p.at_design_mm.cast<double>();
    if ((at - place.at_mm).norm() < place.radius_mm) near.push_back({at, p.deviation_mm});
  }
  return near.size() < fewest_points ? near : without_strays(std::move(near), measured.noise_mm);
}

KnownPlace centred(KnownPlace place, std::span<const MeasuredPoints* const> scans) {
  constexpr int rounds = 4;
  for (int round = 0; round < rounds; ++round) {
    std::vector<PatchPoint> pooled;
    for (const MeasuredPoints* scan : scans) {
      const std::vector<PatchPoint> near = points_at(place, *scan);
      pooled.insert(pooled.end(), near.begin(), near.end());
    }
    const auto nearer = toward_summit(pooled, place.at_mm, place.radius_mm);
    if (!nearer) break;
    place.at_mm = *nearer;
  }
  return place;
}

std::optional<PlaceDepth> depth_of(const KnownPlace& place, const MeasuredPoints& measured) {
  const std::vector<PatchPoint> near = points_at(place, measured);
  const auto close = std::count_if(near.begin(), near.end(), [&](const PatchPoint& p) {
    return (p.at_mm - place.at_mm).norm() < 0.5 * place.radius_mm;
  });
  if (static_cast<std::size_t>(close) < fewest_close) return std::nullopt;
  const auto depth = depth_at(near, place.at_mm, place.radius_mm, measured.noise_mm, measured.drift_mm);
  if (!depth) return std::nullopt;
  return PlaceDepth{depth->depth_mm, depth->u95_mm};
}

}  // namespace boxfettle
