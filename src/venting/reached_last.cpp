#include "venting/reached_last.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {

std::vector<double> age_band(const GasFlow& flow, const Residence& ages, double from_share, double to_share) {
  const double from = age_quantile_s(flow, ages, from_share), to = age_quantile_s(flow, ages, to_share);
  std::vector<double> weight(ages.age_s.size(), 0.0);
  double all = 0;
  for (const std::uint32_t c : flow.cells())
    if (ages.age_s[c] >= from && ages.age_s[c] <= to) all += weight[c] = flow.pore_mm3(c);
  for (double& w : weight) w /= std::max(all, 1e-300);
  return weight;
}

double mean_age_s(const std::vector<double>& weight, const Residence& ages) {
  double sum = 0;
  for (std::size_t c = 0; c < weight.size(); ++c)
    if (weight[c] > 0) sum += weight[c] * std::log(std::max(ages.age_s[c], 1e-12));
  return std::exp(sum);
}

std::vector<double> by_age(std::vector<double> weight, const Residence& ages) {
  for (std::size_t c = 0; c < weight.size(); ++c)
    if (weight[c] > 0) weight[c] /= std::max(ages.age_s[c], 1e-12);
  return weight;
}

}  // namespace boxfettle
