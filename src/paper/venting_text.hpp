// What `blow` and `vents` found, for people.
#pragma once

#include <string>

#include "venting/blow_study.hpp"
#include "venting/venting_study.hpp"

namespace boxfettle {

std::string blow_text(const BlowStudy& study);
std::string vents_text(const VentingStudy& study);

}  // namespace boxfettle
