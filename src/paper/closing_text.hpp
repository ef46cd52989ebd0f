// How a box closes, as plain text for whoever stands at it.
#pragma once

#include <string>

#include "paper/closing_json.hpp"

namespace boxfettle {

std::string dowel_check_text(const DowelCheck& check, const CoreBox& box);
std::string fit_text(const FitResult& result, const Fit& fit);
std::string parting_gap_text(const PartingGap& gap, const CoreBox& box);
std::string weights_text(const WeightsBesideFeelers& both);

}  // namespace boxfettle
