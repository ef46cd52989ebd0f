#include "closing/thermal_growth.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {

Expansion expansion_of(BoxMaterial material) {
  switch (material) {
    case BoxMaterial::aluminium:
      return {23.0e-6, 21.5e-6, 24.0e-6};  // cast 356.0 21.5, 6061 23.6, handbook 24
    case BoxMaterial::grey_iron:
      return {11.0e-6, 10.4e-6, 11.4e-6};
    case BoxMaterial::steel:
      return {11.7e-6, 10.8e-6, 13.0e-6};
    case BoxMaterial::brass:
      return {19.9e-6, 19.0e-6, 20.5e-6};
    case BoxMaterial::resin:
      return {60e-6, 30e-6, 90e-6};
    case BoxMaterial::wood:
      break;
  }
  return {5e-6, 3e-6, 8e-6};
}

double thermal_growth_mm(double length_mm, BoxMaterial material, double temperature_C) {
  return length_mm * expansion_of(material).per_K * (temperature_C - measuring_temperature_C);
}

PitchBind pitch_bind(double pitch_mm, const WarmHalf& a, const WarmHalf& b, double clearance_first_mm,
                     double clearance_second_mm) {
  const double difference = thermal_growth_mm(pitch_mm, a.material, a.temperature_C) -
                            thermal_growth_mm(pitch_mm, b.material, b.temperature_C);
  const double play = 0.5 * (clearance_first_mm + clearance_second_mm);
  return {difference, play, std::max(std::abs(difference) - play, 0.0)};
}

}  // namespace boxfettle
