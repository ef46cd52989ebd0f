// What care is due in a run, and when: by minutes of running, by shots, by the calendar, whichever comes
// first.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "shop/run_state.hpp"

namespace boxfettle {

struct CareStanding {
  enum class How { each_core, not_yet, due, overdue, stops_work };
  CareRule rule;
  How how = How::not_yet;
  std::optional<double> minutes_left;      // of running time, negative once due; empty when not by the clock
  std::optional<std::int64_t> shots_left;  // negative or 0 once due; empty when not by shots
  std::optional<double> days_left;         // empty when not by days
  double late_minutes = 0;                 // running minutes since it fell due by the clock
  std::optional<LastCare> last;            // in this run, or before it for a rule by days
  bool operator==(const CareStanding&) const = default;
};

std::string_view name(CareStanding::How how);  // "each-core", "not-yet", "due", "overdue", "stops-work"

// Of every rule the run follows, in their order. `shots`: of this run so far.
std::vector<CareStanding> care_standing(const RunBook& runs, std::int64_t shots, UtcTime now);

}  // namespace boxfettle
