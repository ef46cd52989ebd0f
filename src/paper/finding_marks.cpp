#include "paper/finding_marks.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace boxfettle {
namespace {

double squareness(const CoreView& view, const TriangleMesh& surface, const Eigen::Vector2d& at_px) {
  const std::uint32_t t = view.triangle[view.pixel(static_cast<int>(at_px.x()), static_cast<int>(at_px.y()))];
  return doubled_area_vector(surface, t).normalized().dot(view.frame.toward_eye);
}

}  // namespace

std::optional<Sight> sight_of(const Finding& finding, const TriangleMesh& surface, const CoreView& view) {
  const double slack_mm = 3 * view.frame.mm_per_pixel;
  const auto sight = [&](const Eigen::Vector3d& at_mm, double worth) {
    const Eigen::Vector2d at_px = view.frame.at_picture(at_mm).head<2>();
    return Sight{at_px, worth + squareness(view, surface, at_px)};
  };
  if (view.shows(finding.where_mm, slack_mm)) return sight(finding.where_mm, 1);
  const Eigen::Vector3d* nearest = nullptr;
  for (const std::uint32_t v : finding.vertices) {
    const Eigen::Vector3d& at = surface.vertices[v];
    if (nearest != nullptr &&
        (at - finding.where_mm).squaredNorm() >= (*nearest - finding.where_mm).squaredNorm())
      continue;
    if (view.shows(at, slack_mm)) nearest = &at;
  }
  if (nearest == nullptr) return std::nullopt;
  return sight(*nearest, 0);
}

MarksOfViews marks_on(const CoreView& first, const CoreView& second, const ScanReading& reading,
                      std::size_t count) {
  MarksOfViews marks;
  for (std::size_t i = 0; i < std::min(count, reading.findings.size()); ++i) {
    const auto here = sight_of(reading.findings[i], reading.surface, first);
    const auto there = sight_of(reading.findings[i], reading.surface, second);
    if (here && (!there || here->worth >= there->worth))
      marks.first.push_back({i, here->at_px});
    else if (there)
      marks.second.push_back({i, there->at_px});
  }
  return marks;
}

std::vector<double> spread_labels(const std::vector<double>& wanted, double apart, double low, double high) {
  std::vector<std::size_t> order(wanted.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return wanted[a] < wanted[b]; });
  std::vector<double> placed(wanted.size());
  double next = low;
  for (const std::size_t i : order) next = (placed[i] = std::max(wanted[i], next)) + apart;
  // What ran over the end is pushed back up.
  double last = high;
  for (auto i = order.rbegin(); i != order.rend(); ++i)
    last = (placed[*i] = std::min(placed[*i], last)) - apart;
  return placed;
}

}  // namespace boxfettle
