#include "closing/core_weight.hpp"

#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace boxfettle {

double weight_of_opening_g(double mean_opening_mm, double area_mm2, double bulk_density_g_cm3) {
  return mean_opening_mm * area_mm2 * bulk_density_g_cm3 / 1000;
}

double opening_of_weight_mm(double excess_g, double area_mm2, double bulk_density_g_cm3) {
  return 1000 * excess_g / (area_mm2 * bulk_density_g_cm3);
}

WeightWitness weight_witness(std::span<const double> weights_g, double right_weight_g, double area_mm2,
                             double bulk_density_g_cm3) {
  WeightWitness witness;
  witness.cores = static_cast<int>(weights_g.size());
  const auto count = static_cast<double>(weights_g.size());
  for (const double weight : weights_g) witness.mean_g += weight / count;
  double squares = 0;
  for (const double weight : weights_g) squares += (weight - witness.mean_g) * (weight - witness.mean_g);
  const boost::math::students_t student(count - 1);
  witness.excess_g = witness.mean_g - right_weight_g;
  witness.excess_u95_g = boost::math::quantile(student, 0.975) * std::sqrt(squares / (count - 1) / count);
  witness.opening_mm = opening_of_weight_mm(witness.excess_g, area_mm2, bulk_density_g_cm3);
  witness.opening_u95_mm = opening_of_weight_mm(witness.excess_u95_g, area_mm2, bulk_density_g_cm3);
  return witness;
}

WitnessesCompared compare_witnesses(const Opening& by_feelers, const WeightWitness& by_weight) {
  WitnessesCompared compared{};
  compared.difference_mm = by_weight.opening_mm - by_feelers.mm;
  compared.u95_mm = std::hypot(by_feelers.u95_mm, by_weight.opening_u95_mm);
  compared.agree = std::abs(compared.difference_mm) <= compared.u95_mm;
  if (compared.agree)
    compared.suggestion = "Feelers and weights agree.";
  else if (compared.difference_mm < 0)
    compared.suggestion =
        "The feelers show more opening than the cores weigh: readings taken on dirt or on a burr, or a "
        "face that closes when the box is blown. Clean the face and read again.";
  else
    compared.suggestion =
        "The cores weigh more than the opening explains: the cavity has worn, or the sand packs denser "
        "than the bulk density given. Scan a core, and weigh a measured volume of sand.";
  return compared;
}

}  // namespace boxfettle
