// A figure in words and pictures: four digits, and never an exponent for shots or hours.
#pragma once

#include <string>

#include "reading/printed.hpp"

namespace boxfettle {

inline std::string figure(double value) {
  return printed(value >= 1000 || value <= -1000 ? "%.0f" : "%.4g", value);
}

}  // namespace boxfettle
