#include "paper/view_choice.hpp"

#include <tbb/parallel_for.h>

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "paper/core_view.hpp"

namespace boxfettle {
namespace {

constexpr int around = 12;
constexpr std::array heights_deg{38.0, 55.0};  // into a half, steeper: its walls hide one another
constexpr double steeper_deg = 15;
constexpr int trial_pixels = 220;

std::vector<TwoViews> tried_views(ScanSubject of, const Eigen::Vector3d& across) {
  const Eigen::Vector3d x = across.unitOrthogonal(), y = across.cross(x);
  const bool into_half = of != ScanSubject::core;
  std::vector<TwoViews> all;
  for (const double height_deg : heights_deg)
    for (int i = 0; i < around; ++i) {
      const double turn = 2 * std::numbers::pi * i / around;
      const double height = (height_deg + (into_half ? steeper_deg : 0)) * std::numbers::pi / 180;
      const Eigen::Vector3d aside = std::cos(height) * (std::cos(turn) * x + std::sin(turn) * y);
      const Eigen::Vector3d above = std::sin(height) * across;
      const Eigen::Vector3d other = into_half ? Eigen::Vector3d(above - aside) : Eigen::Vector3d(-above - aside);
      all.push_back({aside + above, other, across});
    }
  return all;
}

double weight(Severity severity) {
  return severity == Severity::hold ? 3 : severity == Severity::watch ? 2 : 1;
}

// What two views show together.
class Shown {
 public:
  Shown(const TriangleMesh& mesh, const TwoViews& views)
      : mesh_(mesh),
        first_(seen_core(mesh, fitted_frame(mesh, views.first_to_eye, views.upward, trial_pixels, trial_pixels))),
        second_(
            seen_core(mesh, fitted_frame(mesh, views.second_to_eye, views.upward, trial_pixels, trial_pixels))) {}

  bool vertex(std::uint32_t v) const {
    const double slack_mm = 3 * first_.frame.mm_per_pixel;
    return first_.shows(mesh_.vertices[v], slack_mm) || second_.shows(mesh_.vertices[v], slack_mm);
  }
  double share(const std::vector<std::uint32_t>& of) const {
    if (of.empty()) return 0;
    const std::size_t step = std::max<std::size_t>(1, of.size() / 500);
    double shown = 0, asked = 0;
    for (std::size_t i = 0; i < of.size(); i += step, ++asked) shown += vertex(of[i]);
    return shown / asked;
  }
  double share_of_all() const {
    const std::size_t step = std::max<std::size_t>(1, mesh_.vertices.size() / 20000);
    double shown = 0, asked = 0;
    for (std::size_t v = 0; v < mesh_.vertices.size(); v += step, ++asked)
      shown += vertex(static_cast<std::uint32_t>(v));
    return shown / asked;
  }

 private:
  const TriangleMesh& mesh_;
  CoreView first_, second_;
};

}  // namespace

TwoViews chosen_views(const ScanReading& reading, const Eigen::Vector3d& across) {
  const std::vector<TwoViews> tried = tried_views(reading.of, across);
  std::vector<double> worth(tried.size(), 0);
  tbb::parallel_for(std::size_t{0}, tried.size(), [&](std::size_t i) {
    const Shown shown(reading.surface, tried[i]);
    worth[i] = 2 * shown.share_of_all();
    for (const Finding& f : reading.findings) worth[i] += weight(f.severity) * shown.share(f.vertices);
  });
  const auto best = std::max_element(worth.begin(), worth.end());
  return tried[static_cast<std::size_t>(best - worth.begin())];
}

Eigen::Vector3d thinnest_direction(const TriangleMesh& mesh) {
  Eigen::Vector3d mean = Eigen::Vector3d::Zero();
  for (const Eigen::Vector3d& v : mesh.vertices) mean += v / static_cast<double>(mesh.vertices.size());
  Eigen::Matrix3d spread = Eigen::Matrix3d::Zero();
  for (const Eigen::Vector3d& v : mesh.vertices) spread += (v - mean) * (v - mean).transpose();
  const Eigen::Vector3d axis = Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>(spread).eigenvectors().col(0);
  Eigen::Index largest = 0;
  axis.cwiseAbs().maxCoeff(&largest);
  return axis[largest] < 0 ? Eigen::Vector3d(-axis) : axis;
}

}  // namespace boxfettle
