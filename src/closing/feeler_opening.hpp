// How far the halves stand apart all round, as a box's clamped feeler readings tell it: what a study of air
// and gas takes for its leak.
#pragma once

#include <functional>
#include <string>

#include "corebox/core_box.hpp"

namespace boxfettle {

struct FeelerOpening {
  std::function<double(const Eigen::Vector2d& at_parting_mm)> opening_mm;  // absent without readings
  std::string note;  // what had to be assumed; empty when nothing had
};

FeelerOpening feeler_opening(const CoreBox& box);

}  // namespace boxfettle
