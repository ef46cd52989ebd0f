// What a core weighs against what it should: the opening that would explain it.
#pragma once

#include <optional>
#include <span>
#include <string>

namespace boxfettle {

// Weight gained through an opening g over the projected cavity area A: dm = rho_bulk * integral(g dA).
double weight_of_opening_g(double mean_opening_mm, double area_mm2, double bulk_density_g_cm3);
double opening_of_weight_mm(double excess_g, double area_mm2, double bulk_density_g_cm3);

struct WeightWitness {
  int cores = 0;
  double mean_g = 0;
  double excess_g = 0;      // over the right weight
  double excess_u95_g = 0;  // half the 95 % interval of the mean, Student's t
  double opening_mm = 0;    // that would explain it
  double opening_u95_mm = 0;
};

// At least two weights; `right_weight_g` > 0. The right weight itself counts as exact.
WeightWitness weight_witness(std::span<const double> weights_g, double right_weight_g, double area_mm2,
                             double bulk_density_g_cm3);

// Feelers and weights side by side.
struct Opening {
  double mm, u95_mm;
};
struct WitnessesCompared {
  bool agree;            // their difference is within what their uncertainties together allow
  double difference_mm;  // weights less feelers
  double u95_mm;
  std::string suggestion;
};
WitnessesCompared compare_witnesses(const Opening& by_feelers, const WeightWitness& by_weight);

}  // namespace boxfettle
