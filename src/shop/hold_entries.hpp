// What the logbook tells of ways round a hold, and of boxes taken out of use.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/utc_time.hpp"

namespace boxfettle {

// The box may run in spite of these holds, for a while. A safety hold has no concession.
struct Conceded {
  static constexpr std::string_view kind = "conceded";
  std::string why;
  std::vector<std::int64_t> holds;  // entries of the holds it covers; never empty
  UtcTime until;
  std::int64_t shots = 0;                 // at most so many from here; never 0
  std::optional<std::int64_t> made = {};  // cores ever made when it was given, those of an open run with them
  bool operator==(const Conceded&) const = default;
};

struct Quarantined {  // set apart until quality has looked
  static constexpr std::string_view kind = "quarantined";
  std::string why;
  bool operator==(const Quarantined&) const = default;
};

struct QuarantineLifted {
  static constexpr std::string_view kind = "quarantine-lifted";
  std::string why;
  bool operator==(const QuarantineLifted&) const = default;
};

struct Scrapped {  // never runs again
  static constexpr std::string_view kind = "scrapped";
  std::string why;
  bool operator==(const Scrapped&) const = default;
};

}  // namespace boxfettle
