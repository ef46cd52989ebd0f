// Is the process narrow enough for its limits? Cp and Cpk with the scatter within subgroups, Pp and Ppk with
// all of it; each with its interval, since thirty cores tell a Cpk to a quarter only.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "statistics/anderson_darling.hpp"
#include "statistics/estimate.hpp"

namespace boxfettle {

struct ToleranceBand {
  std::optional<double> lower, upper;  // one may be absent, not both
};

struct CapabilitySettings {
  double confidence = 0.95;
};

// For values that are not normal: how far the outer percentiles reach towards the limits, counted from the
// median (ISO 22514-2's way, from memory). The 0.135 % percentile of few values may
// lie beyond the outermost of them; it is told from fewest_for_percentiles() on.
struct PercentileCapability {
  double p00135, p50, p99865;
  std::optional<Estimate> pp;
  Estimate ppk;  // intervals: the percentiles redrawn
};

struct Capability {
  std::size_t count = 0;
  double mean = 0;
  double sd = 0;                   // of all values
  double sd_within = 0;            // of one subgroup
  double within_degrees = 0;       // degrees of freedom of sd_within
  std::optional<Estimate> cp, pp;  // need both limits
  Estimate cpk, ppk;
  std::optional<NormalityCheck> normality;
  std::optional<PercentileCapability> percentiles;
  std::size_t outside = 0;      // values beyond a limit, counted
  Estimate outside_fraction;    // with its exact interval
  double expected_outside = 0;  // fraction that a normal with this mean and sd would have outside
};

// So many values that the ends of the 0.135 % percentile's interval lie among them: 2,731 at 95 %.
std::size_t fewest_for_percentiles(double confidence);

// `subgroups`: values that belong together; all of one value each: the scatter within is taken from
// neighbours. Throws InputError (without a file's name): fewer than two values, none that scatter, limits
// that cross.
Capability capability(std::span<const std::vector<double>> subgroups, const ToleranceBand& band,
                      const CapabilitySettings& settings = {});

}  // namespace boxfettle
