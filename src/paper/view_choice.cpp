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
constexpr std::array heights_deg{38.0, 55.0};
constexpr int trial_pixels = 220;

std::vector<Eigen::Vector3d> directions(const Eigen::Vector3d& across) {
  const Eigen::Vector3d x = across.unitOrthogonal(), y = across.cross(x);
  std::vector<Eigen::Vector3d> all;
  for (const double height_deg : heights_deg)
    for (int i = 0; i < around; ++i) {
      const double turn = 2 * std::numbers::pi * i / around, height = height_deg * std::numbers::pi / 180;
      all.push_back(std::cos(height) * (std::cos(turn) * x + std::sin(turn) * y) + std::sin(height) * across);
    }
  return all;
}

double weight(Severity severity) {
  return severity == Severity::hold ? 3 : severity == Severity::watch ? 2 : 1;
}

// What one direction and its opposite show together.
class Shown {
 public:
  Shown(const TriangleMesh& mesh, const Eigen::Vector3d& toward_eye, const Eigen::Vector3d& across)
      : mesh_(mesh),
        front_(seen_core(mesh, fitted_frame(mesh, toward_eye, across, trial_pixels, trial_pixels))),
        back_(seen_core(mesh, fitted_frame(mesh, -toward_eye, across, trial_pixels, trial_pixels))) {}

  bool vertex(std::uint32_t v) const {
    const double slack_mm = 3 * front_.frame.mm_per_pixel;
    return front_.shows(mesh_.vertices[v], slack_mm) || back_.shows(mesh_.vertices[v], slack_mm);
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
  CoreView front_, back_;
};

}  // namespace

OppositeViews chosen_views(const ScanReading& reading, const Eigen::Vector3d& across) {
  const std::vector<Eigen::Vector3d> tried = directions(across);
  std::vector<double> worth(tried.size(), 0);
  tbb::parallel_for(std::size_t{0}, tried.size(), [&](std::size_t i) {
    const Shown shown(reading.surface, tried[i], across);
    worth[i] = 2 * shown.share_of_all();
    for (const Finding& f : reading.findings) worth[i] += weight(f.severity) * shown.share(f.vertices);
  });
  const auto best = std::max_element(worth.begin(), worth.end());
  return {tried[static_cast<std::size_t>(best - worth.begin())], across};
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
