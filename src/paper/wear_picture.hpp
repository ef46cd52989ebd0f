// Wear drawn: every reading with its interval, the line of each patch, the limit, and when it is reached.
#pragma once

#include <string>

#include "paper/wear_answer.hpp"

namespace boxfettle {

std::string wear_picture(const WearAnswer& answer);  // SVG

}  // namespace boxfettle
