// How much of what a gauge shows is the gauge: several people measure the same parts several times, and the
// scatter is split by who and what it comes from.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "statistics/estimate.hpp"

namespace boxfettle {

struct GaugeReading {
  std::string part, person;
  double value;
};

struct GaugeSettings {
  double pool_above = 0.25;  // an interaction with a larger p value is taken for chance (common practice)
  double confidence = 0.95;
  std::optional<double> tolerance = std::nullopt;  // whole width of the tolerance band
};

struct AnovaLine {
  double squares = 0;  // sum of squares
  double degrees = 0;
  double mean_square() const { return degrees > 0 ? squares / degrees : 0; }
};

// Two-way table with repeats, all cells equally full.
struct CrossedAnova {
  std::size_t parts = 0, people = 0, repeats = 0;
  AnovaLine part, person, interaction, repeat;
};

struct GaugeStudy {
  CrossedAnova anova;
  std::optional<double> interaction_p;  // absent with one person
  bool pooled = false;                  // the interaction went into repeatability
  // Variances; what came out negative is 0 and named in `clipped`.
  Estimate repeatability, reproducibility, gauge, parts, total;
  double interaction = 0, people = 0;  // the two halves of reproducibility
  bool clipped = false;
  Estimate grr_percent;  // of the total standard deviation
  Estimate part_percent;
  int ndc = 0;         // kinds of part it can tell apart: 1.41 sd(parts)/sd(gauge), whole
  Estimate ndc_ratio;  // the same before it is cut to a whole number
  std::optional<Estimate> tolerance_percent;  // 6 sd(gauge) of the tolerance
};

// Parts as groups; with one person a one-way analysis. Throws InputError (without a file's name) where a
// cell is missing or fuller than others, with fewer than two parts, or no repeats.
CrossedAnova crossed_anova(std::span<const GaugeReading> readings);

// Random-effects analysis (R. K. Burdick, C. M. Borror and D. C. Montgomery, "Design and Analysis of Gauge
// R&R Studies" (2005)); intervals are generalized ones, drawn. Throws also when nothing scatters.
GaugeStudy gauge_study(std::span<const GaugeReading> readings, const GaugeSettings& settings = {});

}  // namespace boxfettle
