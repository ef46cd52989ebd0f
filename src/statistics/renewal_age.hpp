// At which age a part is renewed cheapest, when a planned renewal costs less than a failure.
#pragma once

#include <optional>

#include "statistics/weibull_life.hpp"

namespace boxfettle {

struct RenewalCosts {
  double planned, failure;  // both above 0, in one currency
};

struct RenewalAge {
  std::optional<double> age;   // absent: do not renew by age
  double cost_per_time;        // at that age, or when run to failure
  double cost_run_to_failure;  // per unit of time
  double saving() const { return 1 - cost_per_time / cost_run_to_failure; }  // as a share
};

// Renew at `age` or on failure, whichever comes first: cost (planned R(t) + failure (1 - R(t))) over mean
// time (integral of R up to t). R. E. Barlow and L. C. Hunter, "Optimum Preventive Maintenance Policies",
// Operations Research 8 (1960). With a shape of 1 or less a part does not get worse with age, and renewing a
// sound one wins nothing.
RenewalAge renewal_age(const WeibullLife& life, const RenewalCosts& costs);

}  // namespace boxfettle
