#include <gmock/gmock.h>

#include <numeric>

#include "venting/residence.hpp"
#include "venting/sand_elbow_test.hpp"

namespace boxfettle {
namespace {

double worst_age(GasFlow& flow, const std::vector<double>& weight) {
  flow.solve();
  const Residence ages = residence(flow);
  return std::inner_product(weight.begin(), weight.end(), ages.age_s.begin(), 0.0);
}

// The adjoint against central differences of the whole non-linear answer.
TEST(FlowResponse, AgreesWithPluggingEachVentALittle) {
  for (const bool inertia : {false, true}) {
    const Elbow elbow(5);
    FlowSettings settings;
    settings.inertia = inertia;
    settings.tolerance = 1e-9;
    settings.residual = 1e-12;
    settings.most_rounds = 200;
    GasFlow flow = elbow.flow(settings);
    const FlowReport report = flow.solve();
    EXPECT_LE(report.change, 1e-9);
    const Residence ages = residence(flow);
    const double late = age_quantile_s(flow, ages, 0.9);
    std::vector<double> weight(ages.age_s.size(), 0.0);
    double all = 0;
    for (const std::uint32_t c : flow.cells())
      if (ages.age_s[c] >= late) all += weight[c] = flow.pore_mm3(c);
    for (double& w : weight) w /= all;
    const GasFlow::Response response = flow.response(age_gradient(flow, ages, weight));
    EXPECT_TRUE(response.converged);
    for (std::size_t v = 0; v < 3; ++v) {
      // Conductances are single numbers of 24 bits: a straight line through many differences averages their
      // rounding away, which one alone would show at a few parts in ten thousand.
      const double orifice = *elbow.vents[v].orifice_m2;
      double product = 0, squares = 0;
      for (int k = -8; k <= 8; ++k) {
        const double step = 1.25e-4 * k;
        flow.set_orifice(v, orifice * (1 + step));
        product += step * worst_age(flow, weight);
        squares += step * step;
      }
      flow.set_orifice(v, orifice);
      const double difference = product / squares;
      EXPECT_NEAR(response.by_log_orifice[v], difference, 1e-4 * std::abs(difference)) << v << inertia;
    }
  }
}

}  // namespace
}  // namespace boxfettle
