// Cleaning on the clock while a run goes on: what falls due after so many minutes of running, so many shots
// or so many days, whichever comes first.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

struct CareRule {
  std::string id;     // "vents"
  std::string title;  // "Clean the vents"
  std::string how;
  std::string caution;                  // empty when doing it can hurt nobody
  bool each_core = false;               // part of every cycle: shown all the time, never counted down
  std::int64_t every_minutes = 0;       // of running time; 0: not by the clock
  std::int64_t every_shots = 0;         // 0: not by shots
  std::int64_t every_days = 0;          // of the calendar, across runs; 0: not by days
  std::int64_t grace_minutes = 0;       // due so long before it counts as overdue
  std::int64_t stop_after_minutes = 0;  // overdue longer than this stops the work; 0: never
  bool operator==(const CareRule&) const = default;
};

// Neither part of every core nor ever due: nobody would be told of it.
bool never_due(const CareRule& rule);

// For a process in a season. Common practice, from memory; data/care.toml says which lines are.
struct CareDefaults {
  std::string process;               // empty: every process
  std::vector<std::int64_t> months;  // empty: all year
  std::vector<CareRule> care;
};

// Throws InputError naming the line or key.
std::vector<CareDefaults> parse_care(std::string_view toml, const std::string& file);

const std::vector<CareDefaults>& shipped_care();

}  // namespace boxfettle
