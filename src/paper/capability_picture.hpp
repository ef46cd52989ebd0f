// Values against their limits, drawn: a histogram with the normal curve that the indices suppose.
#pragma once

#include <string>

#include "paper/capability_answer.hpp"

namespace boxfettle {

std::string capability_picture(const CapabilityAnswer& answer);  // SVG

}  // namespace boxfettle
