#include "reading/outline_map.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

using Eigen::Vector2d;

constexpr double finest_mm = 0.5;
constexpr double most_pixels_a_side = 1500;

}  // namespace

OutlineMap::OutlineMap(std::span<const std::vector<Vector2d>> lines) {
  Vector2d low = Vector2d::Constant(1e300), high = -low;
  for (const auto& line : lines)
    for (const Vector2d& p : line) {
      low = low.cwiseMin(p);
      high = high.cwiseMax(p);
    }
  if (low.x() > high.x()) return;
  pixel_mm_ = std::max(finest_mm, (high - low).maxCoeff() / most_pixels_a_side);
  low_mm_ = low - Vector2d::Constant(known_mm + pixel_mm_);
  const Vector2d size = (high - low) + Vector2d::Constant(2 * (known_mm + pixel_mm_));
  columns_ = static_cast<int>(size.x() / pixel_mm_) + 1;
  rows_ = static_cast<int>(size.y() / pixel_mm_) + 1;
  const auto pixels = static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_);
  edge_mm_.assign(pixels, static_cast<float>(known_mm));
  inside_.assign(pixels, 0);
  for (const auto& line : lines)
    for (std::size_t i = 0; i < line.size(); ++i) {
      const Vector2d from = line[i], to = line[(i + 1) % line.size()];
      const int steps = static_cast<int>((to - from).norm() / pixel_mm_) + 1;
      for (int s = 0; s < steps; ++s) stamp(from + (to - from) * s / steps);
    }
  fill(lines);
}

Vector2d OutlineMap::centre(int column, int row) const {
  return low_mm_ + pixel_mm_ * Vector2d(column + 0.5, row + 0.5);
}

void OutlineMap::stamp(const Vector2d& p) {
  const Vector2d at = (p - low_mm_) / pixel_mm_;
  const int reach = static_cast<int>(known_mm / pixel_mm_) + 1;
  const int column = static_cast<int>(at.x()), row = static_cast<int>(at.y());
  for (int r = std::max(row - reach, 0); r <= std::min(row + reach, rows_ - 1); ++r)
    for (int c = std::max(column - reach, 0); c <= std::min(column + reach, columns_ - 1); ++c) {
      float& edge = edge_mm_[static_cast<std::size_t>(r) * static_cast<std::size_t>(columns_) +
                             static_cast<std::size_t>(c)];
      edge = std::min(edge, static_cast<float>((centre(c, r) - p).norm()));
    }
}

// Row by row: inside lies between the first and the second crossing, the third and the fourth, and so on.
void OutlineMap::fill(std::span<const std::vector<Vector2d>> lines) {
  for (int r = 0; r < rows_; ++r) {
    const double y = centre(0, r).y();
    std::vector<double> crossings;
    for (const auto& line : lines)
      for (std::size_t i = 0; i < line.size(); ++i) {
        const Vector2d &a = line[i], &b = line[(i + 1) % line.size()];
        if ((a.y() > y) != (b.y() > y))
          crossings.push_back(a.x() + (y - a.y()) / (b.y() - a.y()) * (b.x() - a.x()));
      }
    std::sort(crossings.begin(), crossings.end());
    for (std::size_t i = 0; i + 1 < crossings.size(); i += 2)
      for (int c = 0; c < columns_; ++c) {
        const double x = centre(c, r).x();
        if (x > crossings[i] && x < crossings[i + 1])
          inside_[static_cast<std::size_t>(r) * static_cast<std::size_t>(columns_) +
                  static_cast<std::size_t>(c)] = 1;
      }
  }
}

int OutlineMap::place(const Vector2d& p) const {
  const Vector2d at = (p - low_mm_) / pixel_mm_;
  if (!(at.x() >= 0 && at.y() >= 0 && at.x() < columns_ && at.y() < rows_)) return -1;
  return static_cast<int>(at.y()) * columns_ + static_cast<int>(at.x());
}

bool OutlineMap::inside(const Vector2d& p) const {
  const int at = place(p);
  return at >= 0 && inside_[static_cast<std::size_t>(at)] != 0;
}

double OutlineMap::to_edge_mm(const Vector2d& p) const {
  const int at = place(p);
  return at < 0 ? known_mm : static_cast<double>(edge_mm_[static_cast<std::size_t>(at)]);
}

}  // namespace boxfettle
