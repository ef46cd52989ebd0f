#include "statistics/gauge_study.hpp"

#include <algorithm>
#include <cmath>

#include "input/input_error.hpp"
#include "statistics/distributions.hpp"
#include "statistics/quantile.hpp"
#include "statistics/random_numbers.hpp"

namespace boxfettle {
namespace {

struct MeanSquares {
  double part, person, interaction, repeat;
};

struct Variances {
  double repeat, interaction, person, part;
  double reproducibility() const { return interaction + person; }
  double gauge() const { return repeat + reproducibility(); }
  double total() const { return gauge() + part; }
};

// Expected mean squares of the random model, turned round; negative ones stay for the caller to see.
Variances variances(const MeanSquares& ms, const CrossedAnova& anova, bool pooled) {
  const auto a = static_cast<double>(anova.parts), b = static_cast<double>(anova.people),
             n = static_cast<double>(anova.repeats);
  const bool one_person = anova.people < 2;
  const double between = pooled || one_person ? ms.repeat : ms.interaction;
  return {ms.repeat, pooled || one_person ? 0 : (ms.interaction - ms.repeat) / n,
          one_person ? 0 : (ms.person - between) / (a * n), (ms.part - between) / (b * n)};
}

Variances clipped(const Variances& v) {
  return {v.repeat, std::max(v.interaction, 0.0), std::max(v.person, 0.0), std::max(v.part, 0.0)};
}

// 1.41 and not the square root of two: what people compare with was printed with two digits.
double ndc_ratio(const Variances& v) {
  return 1.41 * std::sqrt(v.part / v.gauge());
}

// All that is asked about, in one order for the estimate and for every draw.
std::vector<double> asked(const Variances& v) {
  return {v.repeat,
          v.reproducibility(),
          v.gauge(),
          v.part,
          v.total(),
          100 * std::sqrt(v.gauge() / v.total()),
          100 * std::sqrt(v.part / v.total()),
          ndc_ratio(v),
          6 * std::sqrt(v.gauge())};
}

AnovaLine with(const AnovaLine& one, const AnovaLine& other) {
  return {one.squares + other.squares, one.degrees + other.degrees};
}

// Generalized intervals: each mean square divided by what it may have drawn (S. Weerahandi, "Generalized
// Confidence Intervals", JASA 88 (1993)).
std::vector<Estimate> estimates(const CrossedAnova& anova, const AnovaLine& repeat, bool pooled,
                                double confidence) {
  constexpr std::size_t draws = 20000;
  const auto value = asked(clipped(variances({anova.part.mean_square(), anova.person.mean_square(),
                                              anova.interaction.mean_square(), repeat.mean_square()},
                                             anova, pooled)));
  std::vector<std::vector<double>> drawn(value.size());
  RandomNumbers random(4711);
  const auto draw = [&](const AnovaLine& line) {
    return line.degrees > 0 ? line.squares / random.chi_squared(line.degrees) : 0;
  };
  for (std::size_t i = 0; i < draws; ++i) {
    const MeanSquares ms{draw(anova.part), draw(anova.person), draw(anova.interaction), draw(repeat)};
    const auto one = asked(clipped(variances(ms, anova, pooled)));
    for (std::size_t k = 0; k < one.size(); ++k) drawn[k].push_back(one[k]);
  }
  std::vector<Estimate> told;
  const double tail = 0.5 * (1 - confidence);
  for (std::size_t k = 0; k < value.size(); ++k) {
    std::ranges::sort(drawn[k]);
    told.push_back({value[k], quantile(drawn[k], tail), quantile(drawn[k], 1 - tail)});
  }
  return told;
}

}  // namespace

GaugeStudy gauge_study(std::span<const GaugeReading> readings, const GaugeSettings& settings) {
  GaugeStudy study;
  const CrossedAnova anova = study.anova = crossed_anova(readings);
  double largest = 0;
  for (const GaugeReading& one : readings) largest = std::max(largest, std::abs(one.value));
  if (!(anova.repeat.mean_square() > std::pow(1e-12 * largest, 2)))
    throw InputError("", "", "every repeat shows the same value: the gauge's resolution hides its scatter",
                     "read one more digit, or record each reading afresh");
  if (anova.people > 1) {
    study.interaction_p = f_upper_tail(anova.interaction.mean_square() / anova.repeat.mean_square(),
                                       anova.interaction.degrees, anova.repeat.degrees);
    study.pooled = *study.interaction_p > settings.pool_above;
  }
  const AnovaLine repeat = study.pooled ? with(anova.repeat, anova.interaction) : anova.repeat;
  const Variances raw = variances({anova.part.mean_square(), anova.person.mean_square(),
                                   anova.interaction.mean_square(), repeat.mean_square()},
                                  anova, study.pooled);
  study.clipped = raw.interaction < 0 || raw.person < 0 || raw.part < 0;
  study.interaction = clipped(raw).interaction;
  study.people = clipped(raw).person;
  const std::vector<Estimate> told = estimates(anova, repeat, study.pooled, settings.confidence);
  study.repeatability = told[0];
  study.reproducibility = told[1];
  study.gauge = told[2];
  study.parts = told[3];
  study.total = told[4];
  study.grr_percent = told[5];
  study.part_percent = told[6];
  study.ndc_ratio = told[7];
  study.ndc = std::max(1, static_cast<int>(std::min(told[7].value, 1e6)));
  if (settings.tolerance) {
    const double percent = 100 / *settings.tolerance;
    study.tolerance_percent =
        Estimate{percent * told[8].value, percent * told[8].low, percent * told[8].high};
  }
  return study;
}

}  // namespace boxfettle
