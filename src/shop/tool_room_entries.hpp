// What the logbook tells of the tool-room: jobs on boxes, the runs they must be ready for, and the stock and
// hands there are. Stock and hands belong to the whole shop, not to a box.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/care.hpp"
#include "shop/place.hpp"
#include "shop/utc_time.hpp"

namespace boxfettle {

struct PartNeeded {
  std::string spare;
  std::int64_t count = 1;
  bool operator==(const PartNeeded&) const = default;
};

struct JobRaised {
  static constexpr std::string_view kind = "job-raised";
  std::string job;  // its number: "TM-0412/J5"
  std::string what;
  std::string skill;  // "fitting", "welding", ...
  double hours = 0;
  std::vector<PartNeeded> parts;
  std::int64_t from_entry = 0;  // the finding it comes from; 0: none
  std::string after;            // a job of this box that must be done first; empty: none
  bool operator==(const JobRaised&) const = default;
};

struct JobStarted {
  static constexpr std::string_view kind = "job-started";
  std::string job;
  std::string fitter;
  bool operator==(const JobStarted&) const = default;
};

struct JobDone {
  static constexpr std::string_view kind = "job-done";
  std::string job;
  double hours = 0;  // it took
  std::string remark;
  bool operator==(const JobDone&) const = default;
};

struct JobDropped {
  static constexpr std::string_view kind = "job-dropped";
  std::string job;
  std::string why;
  bool operator==(const JobDropped&) const = default;
};

struct RunPlanned {  // told again under the same id it replaces what was planned
  static constexpr std::string_view kind = "run-planned";
  std::string plan;  // its number: "TM-0412/P2"
  UtcTime start;
  std::int64_t quantity = 0;
  double importance = 1;  // an hour late on a run of 2 weighs as two hours on a run of 1
  std::string station;
  std::string order;
  bool operator==(const RunPlanned&) const = default;
};

struct RunUnplanned {
  static constexpr std::string_view kind = "run-unplanned";
  std::string plan;
  std::string why;
  bool operator==(const RunUnplanned&) const = default;
};

// Of the whole shop:

struct SpareCounted {
  static constexpr std::string_view kind = "spare-counted";
  std::string spare;  // "PIN-12-H"
  std::string words;
  std::int64_t count = 0;
  std::int64_t minimum = 0;
  std::optional<UtcTime> arrives;  // when ordered ones come
  std::int64_t ordered = 0;
  bool operator==(const SpareCounted&) const = default;
};

struct FitterHours {
  static constexpr std::string_view kind = "fitter-hours";
  std::string fitter;
  std::vector<std::string> skills;
  std::int64_t from_minute = 0;        // of the day, UTC
  std::int64_t to_minute = 0;          // after `from_minute`; both 0: does not work here any more
  std::vector<std::int64_t> weekdays;  // 1 Monday .. 7 Sunday
  bool operator==(const FitterHours&) const = default;
};

struct FitterAway {  // leave, a course, a closed day: no work is planned for them between these times
  static constexpr std::string_view kind = "fitter-away";
  std::string fitter;  // empty: the whole tool-room
  UtcTime from;
  UtcTime to;
  std::string why;
  bool operator==(const FitterAway&) const = default;
};

struct PlaceRegistered {  // a rack's bay, a station, ...: what the label stands for
  static constexpr std::string_view kind = "place-registered";
  std::string label;
  std::string rack;  // "Rack B"; empty where there is none
  Place place;
  bool operator==(const PlaceRegistered&) const = default;
};

struct SandMixed {
  static constexpr std::string_view kind = "sand-mix";
  std::string mix;
  std::string words;
  double grain_fineness = 0;      // standard grain fineness number; 0 when not known
  double bulk_density_g_cm3 = 0;  // 0 when not known
  bool operator==(const SandMixed&) const = default;
};

// The shop's care rules for a process in a season, in place of those shipped.
struct ShopCareChosen {
  static constexpr std::string_view kind = "shop-care-chosen";
  std::string process;               // "cold-box"; empty: every process
  std::vector<std::int64_t> months;  // 1..12; empty: all year
  std::vector<CareRule> care;        // empty: those shipped again
  std::string why;
  bool operator==(const ShopCareChosen&) const = default;
};

struct CatalogueWritten {  // the inspection's checkpoints from now on
  static constexpr std::string_view kind = "catalogue-written";
  std::string toml;
  std::string why;
  bool operator==(const CatalogueWritten&) const = default;
};

}  // namespace boxfettle
