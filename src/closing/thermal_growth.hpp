// What warmth does to sizes and to the distance between dowels.
#pragma once

#include "corebox/core_box.hpp"

namespace boxfettle {

// Mean coefficient of linear expansion near room temperature, and the span that published values cover.
// Public property tables, read second-hand; wood (along the grain) and resin from memory, and these two vary
// widely.
struct Expansion {
  double per_K, low_per_K, high_per_K;
};
Expansion expansion_of(BoxMaterial material);

inline constexpr double measuring_temperature_C = 20;  // sizes are stated at 20 degC, ISO 1:2016

// How much longer than at 20 degC.
double thermal_growth_mm(double length_mm, BoxMaterial material, double temperature_C);

// Two halves hold the same dowel pitch at 20 degC. Warm, their pitches differ; what the clearances do not
// take up binds.
struct PitchBind {
  double pitch_difference_mm;  // half a's pitch minus half b's, warm
  double play_mm;              // half of each dowel's clearance, both together
  double bind_mm;              // by how much the pins press; 0 when the play takes it up
};
struct WarmHalf {
  BoxMaterial material;
  double temperature_C;
};
PitchBind pitch_bind(double pitch_mm, const WarmHalf& a, const WarmHalf& b, double clearance_first_mm,
                     double clearance_second_mm);

}  // namespace boxfettle
