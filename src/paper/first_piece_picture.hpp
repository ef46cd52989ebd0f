// What first pieces allow, drawn: how many may still be bad after so many checked, and a plan's outcomes.
#pragma once

#include <string>

#include "paper/first_piece_answer.hpp"

namespace boxfettle {

std::string first_piece_picture(const FirstPieceAnswer& answer);  // SVG

}  // namespace boxfettle
