// A gauge study drawn: every reading by part and person, and where the scatter comes from.
#pragma once

#include <string>

#include "paper/gauge_answer.hpp"

namespace boxfettle {

std::string gauge_picture(const GaugeAnswer& answer);  // SVG

}  // namespace boxfettle
