#include "closing/sand_escape.hpp"

namespace boxfettle {

double mean_grain_mm(double grain_fineness) {
  return 13.6 / grain_fineness;
}

SandEscape sand_escape(double slot_mm, double grain_mm) {
  if (slot_mm > 2 * grain_mm) return SandEscape::runs_out;
  return slot_mm > grain_mm ? SandEscape::single_grains : SandEscape::none;
}

}  // namespace boxfettle
