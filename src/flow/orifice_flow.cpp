#include "flow/orifice_flow.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {

OrificeFlow orifice_flow(double effective_area_m2, double upstream_pa, double downstream_pa,
                         double temperature_K, const Gas& gas) {
  if (!(effective_area_m2 > 0) || !(upstream_pa > downstream_pa)) return {};
  const double k = gas.heat_ratio;
  const double critical = critical_pressure_ratio(gas);
  const double ratio = std::max(downstream_pa / upstream_pa, critical);
  // r^(2/k) (1 - r^((k-1)/k)); expm1 keeps the digits of a small difference of pressure.
  const double drop = -std::expm1((k - 1) / k * std::log(ratio));
  const double speed = std::sqrt(2 * k / (k - 1) * std::pow(ratio, 2 / k) * drop);
  return {effective_area_m2 * upstream_pa * speed / std::sqrt(gas.constant_J_kgK * temperature_K),
          downstream_pa <= critical * upstream_pa};
}

}  // namespace boxfettle
