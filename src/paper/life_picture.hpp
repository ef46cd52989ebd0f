// A life drawn: the share that has failed over time, every record below it, B10 and the renewal age.
#pragma once

#include <string>

#include "paper/life_answer.hpp"

namespace boxfettle {

std::string life_picture(const LifeAnswer& answer);  // SVG

}  // namespace boxfettle
