// Moments of the invented story, counted back from now.
#pragma once

#include <chrono>
#include <cmath>

#include "shop/utc_time.hpp"

namespace boxfettle::demo {

inline constexpr int days_told = 730;

class Days {
 public:
  explicit Days(UtcTime now) : now_(now) {}

  UtcTime now() const { return now_; }

  // So many hours after the midnight (UTC) that began the day so many days before today.
  UtcTime ago(int days, double hour) const {
    const auto midnight =
        std::chrono::floor<std::chrono::days>(std::chrono::milliseconds(now_.ms_since_epoch));
    const auto within_day = std::chrono::milliseconds(std::llround(hour * 3600e3));
    return UtcTime{std::chrono::milliseconds(midnight).count()} - std::chrono::days(days) + within_day;
  }

 private:
  UtcTime now_;
};

}  // namespace boxfettle::demo
