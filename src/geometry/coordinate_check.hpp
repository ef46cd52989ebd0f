// Which numbers can be a place on a core.
#pragma once

#include <Eigen/Core>
#include <cmath>
#include <string>

#include "input/input_error.hpp"

namespace boxfettle {

// Ten kilometres in mm, and in any other unit further than any foundry: beyond it a file is damaged or not a
// surface.
inline constexpr double largest_coordinate = 1e7;

inline bool is_coordinate(double value) {
  return std::abs(value) <= largest_coordinate;
}  // false for NaN
inline bool is_place(const Eigen::Vector3d& point) {
  return is_coordinate(point.x()) && is_coordinate(point.y()) && is_coordinate(point.z());
}

[[noreturn]] inline void refuse_place(const Eigen::Vector3d& point, const std::string& file,
                                      const std::string& place) {
  if (!point.allFinite())
    throw InputError(file, place, "a coordinate is not a finite number",
                     "export the surface again or delete the point");
  throw InputError(file, place, "a coordinate is larger than 10,000,000",
                   "check the export; the file may be damaged");
}

}  // namespace boxfettle
