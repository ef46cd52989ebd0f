#include "reading/face_form.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <vector>

namespace boxfettle {
namespace {

constexpr std::size_t fewest_for_cubic = 60;
constexpr int rounds = 12;
constexpr double tukey = 4.685, thinnest_mm = 0.002;

double middle_size(std::vector<double> sizes) {
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return 1.4826 * *middle;
}

}  // namespace

FaceForm::FaceForm(std::span<const FacePoint> points) : plane_(points.size() < fewest_for_cubic) {
  for (const FacePoint& p : points) middle_mm_ += p.at_mm / static_cast<double>(points.size());
  for (const FacePoint& p : points) reach_mm_ = std::max(reach_mm_, (p.at_mm - middle_mm_).norm());
  factors_ = Eigen::VectorXd::Zero(plane_ ? 3 : 10);
  // The first cut is the spread about the middle height: a start that strays cannot drag.
  std::vector<double> heights;
  for (const FacePoint& p : points) heights.push_back(p.height_mm);
  if (heights.empty()) return;
  std::nth_element(heights.begin(), heights.begin() + static_cast<std::ptrdiff_t>(heights.size() / 2),
                   heights.end());
  factors_[0] = heights[heights.size() / 2];
  for (int round = 0; round < rounds; ++round) {
    std::vector<double> sizes;
    for (const FacePoint& p : points) sizes.push_back(std::abs(p.height_mm - at(p.at_mm)));
    scale_mm_ = std::max(middle_size(std::move(sizes)), thinnest_mm);
    Eigen::MatrixXd normal = 1e-9 * Eigen::MatrixXd::Identity(factors_.size(), factors_.size());
    Eigen::VectorXd right = Eigen::VectorXd::Zero(factors_.size());
    for (const FacePoint& p : points) {
      const double u = (p.height_mm - at(p.at_mm)) / (tukey * scale_mm_);
      if (std::abs(u) >= 1) continue;
      const double weight = (1 - u * u) * (1 - u * u);
      const Eigen::VectorXd t = terms(p.at_mm);
      normal += weight * t * t.transpose();
      right += weight * p.height_mm * t;
    }
    factors_ = normal.ldlt().solve(right);
  }
}

Eigen::VectorXd FaceForm::terms(const Eigen::Vector2d& p) const {
  const double x = (p.x() - middle_mm_.x()) / reach_mm_, y = (p.y() - middle_mm_.y()) / reach_mm_;
  Eigen::VectorXd t(factors_.size());
  if (plane_)
    t << 1, x, y;
  else
    t << 1, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y;
  return t;
}

double FaceForm::at(const Eigen::Vector2d& p) const {
  return factors_.dot(terms(p));
}

}  // namespace boxfettle
