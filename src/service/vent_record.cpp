#include "service/vent_record.hpp"

#include <chrono>

namespace boxfettle {
namespace {

constexpr std::string_view plugged_ending = " plugged";

struct RunTimes {
  std::vector<UtcTime> cleaned;
  struct Stretch {
    UtcTime from;
    std::optional<UtcTime> to;
  };
  std::vector<Stretch> running;  // from a cleaning or the opening of a run to the next, or to its close
};

RunTimes run_times(std::span<const Entry> entries) {
  RunTimes times;
  const auto end = [&](UtcTime at) {
    if (!times.running.empty() && !times.running.back().to) times.running.back().to = at;
  };
  for (const Entry& entry : entries) {
    if (std::holds_alternative<RunOpened>(entry.body)) {
      end(entry.at);
      times.running.push_back({entry.at, {}});
    } else if (std::holds_alternative<RunClosed>(entry.body)) {
      end(entry.at);
    } else if (const auto* care = std::get_if<CareDone>(&entry.body); care && care->care == vent_care) {
      times.cleaned.push_back(entry.at);
      end(entry.at);
      times.running.push_back({entry.at, {}});
    }
  }
  return times;
}

std::optional<double> hours_since_clean(const RunTimes& times, UtcTime at) {
  constexpr double least_hours = 0.1;
  for (auto stretch = times.running.rbegin(); stretch != times.running.rend(); ++stretch) {
    if (at < stretch->from) continue;
    if (stretch->to && *stretch->to < at) return std::nullopt;
    const double hours = std::chrono::duration<double, std::ratio<3600>>(at - stretch->from).count();
    return hours >= least_hours ? std::optional(hours) : std::nullopt;
  }
  return std::nullopt;
}

std::optional<PluggingRate> rate_of(std::span<const VentCheck> checks, const RunTimes& times) {
  double product = 0, squares = 0;
  int used = 0;
  for (const VentCheck& check : checks) {
    const auto hours = hours_since_clean(times, check.at);
    if (!hours) continue;
    product += *hours * check.plugged;
    squares += *hours * *hours;
    ++used;
  }
  if (used < 2 || product <= 0) return std::nullopt;
  return PluggingRate{product / squares, std::to_string(used) + " vent checks on record, made during runs"};
}

}  // namespace

std::string plugged_characteristic(const std::string& vent) {
  return vent + std::string(plugged_ending);
}

bool is_vent_check(std::string_view characteristic) {
  return characteristic.ends_with(plugged_ending);
}

VentOnRecord vent_on_record(std::span<const VentCheck> checks, std::span<const Entry> entries) {
  const RunTimes times = run_times(entries);
  VentOnRecord record;
  record.rate = rate_of(checks, times);
  if (!checks.empty()) {
    record.plugged = checks.back().plugged;
    record.at = checks.back().at;
  }
  if (!times.cleaned.empty() && (checks.empty() || checks.back().at < times.cleaned.back())) {
    record.plugged = 0;
    record.cleaned = true;
    record.at = times.cleaned.back();
  }
  return record;
}

}  // namespace boxfettle
