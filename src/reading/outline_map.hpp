// The core's outline at the parting face as a map: which places of the face lie inside it, and how far from
// it.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <span>
#include <vector>

namespace boxfettle {

class OutlineMap {
 public:
  static constexpr double known_mm = 12;  // distances beyond this are only told as this

  // Closed lines, in the parting face's axes; holes run inside what they are holes of (even-odd rule).
  explicit OutlineMap(std::span<const std::vector<Eigen::Vector2d>> lines);

  bool inside(const Eigen::Vector2d& at_parting_mm) const;
  double to_edge_mm(const Eigen::Vector2d& at_parting_mm) const;  // to about half a pixel; at most known_mm

 private:
  void stamp(const Eigen::Vector2d& on_edge_mm);
  void fill(std::span<const std::vector<Eigen::Vector2d>> lines);
  Eigen::Vector2d centre(int column, int row) const;
  int place(const Eigen::Vector2d& at_parting_mm) const;  // -1 outside the map

  Eigen::Vector2d low_mm_ = Eigen::Vector2d::Zero();
  double pixel_mm_ = 0.5;
  int columns_ = 0, rows_ = 0;
  std::vector<float> edge_mm_;
  std::vector<std::uint8_t> inside_;
};

}  // namespace boxfettle
