// What the logbook tells of bad cores: what was seen, what it came from, and which others may be like it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/core_defect.hpp"
#include "shop/utc_time.hpp"

namespace boxfettle {

struct DefectSeen {
  static constexpr std::string_view kind = "defect-seen";
  CoreDefect defect = CoreDefect::mismatch;
  std::int64_t count = 1;      // cores that have it
  std::string run;             // empty when nobody knows
  std::optional<double> x, y;  // place on the core's picture, 0..1 from left and top; both or none
  std::string remark;
  bool operator==(const DefectSeen&) const = default;
};

// The defect was looked for and is not there: evidence as good as the other.
struct DefectNotSeen {
  static constexpr std::string_view kind = "defect-not-seen";
  CoreDefect defect = CoreDefect::mismatch;
  bool operator==(const DefectNotSeen&) const = default;
};

// Somebody found out. What was told before it is closed with it.
struct CauseConfirmed {
  static constexpr std::string_view kind = "cause-confirmed";
  std::string fault;                  // its id in the fault network
  std::vector<std::string> seen;      // findings of the network by id: defects, and checkpoints that failed
  std::vector<std::string> not_seen;  // looked for and not there, looked at and passed
  std::string remark;
  bool operator==(const CauseConfirmed&) const = default;
};

// Of the whole shop, as the learning is: causes confirmed before it teach nothing any more.
struct LearningReset {
  static constexpr std::string_view kind = "learning-reset";
  std::string fault;  // those of this fault; empty: all of them
  std::string why;
  bool operator==(const LearningReset&) const = default;
};

// Cores that may be bad, to be dealt with one lot after the other.
struct SuspectsListed {
  static constexpr std::string_view kind = "suspects-listed";
  struct Lot {
    std::string run;
    std::string batch;
    std::string went_to;
    UtcTime from, to;
    std::int64_t cores = 0;
    bool operator==(const Lot&) const = default;
  };
  std::string trace;             // its number: "TM-0412/T3"
  std::string property;          // what is doubted: a checkpoint's id, or "reading", "weight", "pieces"
  std::optional<UtcTime> since;  // the doubt begins here, told by a chart; absent: at the last good evidence
  std::int64_t good_entry = 0;   // the last good evidence of that property; 0: there is none
  std::int64_t bad_entry = 0;    // the entry that gave the doubt; 0: it stands elsewhere, in `why`
  std::string why;
  std::vector<Lot> lots;
  bool operator==(const SuspectsListed&) const = default;
};

struct LotDealtWith {
  static constexpr std::string_view kind = "lot-dealt-with";
  std::string trace;
  std::int64_t lot = 0;  // 0, 1, 2, ... in the list
  std::int64_t good = 0;
  std::int64_t bad = 0;
  std::string what;  // "sorted", "scrapped", "called back from the moulding line"
  bool operator==(const LotDealtWith&) const = default;
};

struct FalseAlarm {
  static constexpr std::string_view kind = "false-alarm";
  std::string trace;
  std::string why;
  bool operator==(const FalseAlarm&) const = default;
};

}  // namespace boxfettle
