#include "statistics/renewal_age.hpp"

#include <cmath>

#include "statistics/gauss_legendre.hpp"

namespace boxfettle {
namespace {

// Mean time up to renewal at `age`: the integral of R, in panels that grow from the start, where R of a small
// shape falls steeply.
double mean_time(const WeibullLife& life, double age) {
  double sum = 0, from = 0;
  for (const double to : {0.001 * age, 0.01 * age, 0.1 * age, 0.4 * age, 0.7 * age, age}) {
    for (const QuadraturePoint& point : gauss_legendre(24, from, to))
      sum += point.weight * life.reliability(point.at);
    from = to;
  }
  return sum;
}

double cost_rate(const WeibullLife& life, const RenewalCosts& costs, double age) {
  const double sound = life.reliability(age);
  return (costs.planned * sound + costs.failure * (1 - sound)) / mean_time(life, age);
}

// d(cost rate)/dt = 0: hazard(t) * mean time(t) - (1 - R(t)) = planned/(failure - planned), the left side
// rising with t when the shape is above 1.
double left_side(const WeibullLife& life, double age) {
  const double hazard = life.shape / life.scale * std::pow(age / life.scale, life.shape - 1);
  return hazard * mean_time(life, age) - (1 - life.reliability(age));
}

}  // namespace

RenewalAge renewal_age(const WeibullLife& life, const RenewalCosts& costs) {
  const double run = costs.failure / life.mean();
  const RenewalAge by_failure{std::nullopt, run, run};
  if (life.shape <= 1 || costs.failure <= costs.planned) return by_failure;
  const double goal = costs.planned / (costs.failure - costs.planned);
  double low = 0, high = life.scale;
  // An age that hardly any part reaches is none.
  const double longest = life.quantile(1 - 1e-6);
  while (left_side(life, high) < goal) {
    low = high;
    high *= 1.5;
    if (low > longest) return by_failure;
  }
  for (int step = 0; step < 60 && high - low > 1e-10 * high; ++step) {
    const double middle = 0.5 * (low + high);
    (left_side(life, middle) < goal ? low : high) = middle;
  }
  const double age = 0.5 * (low + high);
  return {age, cost_rate(life, costs, age), run};
}

}  // namespace boxfettle
