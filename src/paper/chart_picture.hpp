// A control chart drawn: points, limits of each, signals marked by shape and words, the stretch in which the
// level moved.
#pragma once

#include <string>

#include "paper/chart_answer.hpp"

namespace boxfettle {

std::string chart_picture(const ChartAnswer& answer);  // SVG

}  // namespace boxfettle
