#include "shop/care_clock.hpp"

#include <algorithm>
#include <array>

namespace boxfettle {
namespace {

using How = CareStanding::How;
using Minutes = std::chrono::duration<double, std::ratio<60>>;
using Days = std::chrono::duration<double, std::ratio<86400>>;

// Minutes past the grace decide; a rule without a clock has no grace and no stop.
How how_late(const CareRule& rule, double late) {
  if (rule.stop_after_minutes > 0 && late > static_cast<double>(rule.grace_minutes + rule.stop_after_minutes))
    return How::stops_work;
  return late > static_cast<double>(rule.grace_minutes) ? How::overdue : How::due;
}

void by_clock(CareStanding& care, const OpenRun& run, UtcTime now) {
  if (care.rule.every_minutes == 0) return;
  const auto since = run.running(now) - (care.last ? care.last->running : std::chrono::milliseconds{0});
  care.minutes_left = static_cast<double>(care.rule.every_minutes) - Minutes(since).count();
  if (*care.minutes_left > 0) return;
  care.late_minutes = -*care.minutes_left;
  care.how = std::max(care.how, how_late(care.rule, care.late_minutes));
}

// Shots past the due one that are a whole interval late are overdue.
void by_shots(CareStanding& care, std::int64_t shots) {
  if (care.rule.every_shots == 0) return;
  const std::int64_t since = shots - (care.last ? care.last->shots : 0);
  care.shots_left = care.rule.every_shots - since;
  if (*care.shots_left <= 0) care.how = std::max(care.how, How::due);
  if (*care.shots_left <= -care.rule.every_shots) care.how = std::max(care.how, How::overdue);
}

void by_days(CareStanding& care, const RunBook& runs, UtcTime now) {
  if (care.rule.every_days == 0) return;
  const auto known = runs.by_day.find(care.rule.id);
  if (known == runs.by_day.end()) {
    care.days_left = 0;
  } else {
    if (!care.last) care.last = known->second;
    care.days_left = static_cast<double>(care.rule.every_days) - Days(now - known->second.at).count();
  }
  if (*care.days_left <= 0) care.how = std::max(care.how, How::due);
}

CareStanding standing_of(const CareRule& rule, const RunBook& runs, std::int64_t shots, UtcTime now) {
  CareStanding care;
  care.rule = rule;
  if (rule.each_core) {
    care.how = How::each_core;
    return care;
  }
  const OpenRun& run = *runs.open;
  if (const auto done = run.care.find(rule.id); done != run.care.end()) care.last = done->second;
  by_clock(care, run, now);
  by_shots(care, shots);
  by_days(care, runs, now);
  return care;
}

}  // namespace

std::string_view name(CareStanding::How how) {
  constexpr std::array<std::string_view, 5> names{"each-core", "not-yet", "due", "overdue", "stops-work"};
  return names[static_cast<std::size_t>(how)];
}

std::vector<CareStanding> care_standing(const RunBook& runs, std::int64_t shots, UtcTime now) {
  std::vector<CareStanding> all;
  if (!runs.open) return all;
  for (const CareRule& rule : runs.open->opened.care) all.push_back(standing_of(rule, runs, shots, now));
  return all;
}

}  // namespace boxfettle
