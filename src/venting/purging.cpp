#include "venting/purging.hpp"

namespace boxfettle {

double swept_share_of_dead_end(double before_pa, double after_pa) {
  return after_pa > before_pa ? 1 - before_pa / after_pa : 0;
}

double unpurged_fraction(const GasFlow& flow, const Residence& ages, double seconds, double before_pa) {
  double left = 0, all = 0;
  for (const std::uint32_t c : flow.cells()) {
    const double pore = flow.pore_mm3(c);
    all += pore;
    if (ages.age_s[c] > seconds) left += pore * (1 - swept_share_of_dead_end(before_pa, flow.pressure_pa(c)));
  }
  return left / all;
}

}  // namespace boxfettle
