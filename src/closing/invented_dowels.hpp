// Dowels as tests like them.
#pragma once

#include <Eigen/Core>
#include <optional>

#include "corebox/core_box.hpp"

namespace boxfettle {

inline Dowel round_pin(double x, double y, double pin_mm, double bush_mm) {
  return {"D", {x, y}, pin_mm, bush_mm, Dowel::Bush::round, {1, 0}, {}, {}};
}

inline Dowel slotted(double x, double y, double pin_mm, double bush_mm, const Eigen::Vector2d& axis,
                     std::optional<double> length_mm = {}) {
  return {"S", {x, y}, pin_mm, bush_mm, Dowel::Bush::slot, axis.normalized(), length_mm, {}};
}

}  // namespace boxfettle
