// The part of the core that gas reaches last, and how late: the measure by which states of a box compare.
#pragma once

#include <vector>

#include "venting/residence.hpp"

namespace boxfettle {

// Weights that average over the part of the pore space whose age lies between these shares of it.
std::vector<double> age_band(const GasFlow& flow, const Residence& ages, double from_share, double to_share);

// The geometric mean: a few cells in a dead corner, where only diffusion would stir, cannot outweigh the
// rest.
double mean_age_s(const std::vector<double>& weight, const Residence& ages);

// How the logarithm of that mean goes with each age.
std::vector<double> by_age(std::vector<double> weight, const Residence& ages);

}  // namespace boxfettle
