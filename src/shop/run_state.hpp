// A run as it stands, and those that are over. What a run may do now is in run_phase.hpp.
#pragma once

#include <chrono>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "shop/entry.hpp"

namespace boxfettle {

struct LastCare {
  UtcTime at;
  std::string who;
  std::int64_t entry = 0;
  std::chrono::milliseconds running{0};  // of the run, when it was done
  std::int64_t shots = 0;                // of the run, when it was done
  bool operator==(const LastCare&) const = default;
};

struct OpenRun {
  RunOpened opened;
  std::int64_t entry = 0;
  UtcTime at;
  std::string in_charge;                       // who opened it, or took it over last
  std::vector<FirstPieceLooked> first_pieces;  // in the order they were looked at
  std::map<std::string, LastCare> care;        // by rule
  std::optional<UtcTime> paused_at;            // empty while it is not paused
  std::string paused_why;
  std::chrono::milliseconds paused_before{0};  // all earlier pauses
  std::int64_t shots_told = 0;                 // the highest count anybody told
  bool operator==(const OpenRun&) const = default;

  std::chrono::milliseconds running(UtcTime now) const;  // since it was opened, without the pauses
};

struct PastRun {
  RunOpened opened;
  std::int64_t opened_entry = 0;
  UtcTime opened_at;
  RunClosed closed;
  std::int64_t closed_entry = 0;
  UtcTime closed_at;
  bool operator==(const PastRun&) const = default;
};

struct RunBook {
  std::optional<OpenRun> open;
  std::vector<PastRun> past;                      // oldest first
  std::map<std::string, LastCare> by_day;         // care counted by the calendar, across runs
  std::vector<CareRule> care;                     // chosen for this box; empty: the shop's
  std::optional<FirstPiecesChosen> first_pieces;  // chosen for this box
  std::int64_t made = 0;                          // in all past runs
  bool operator==(const RunBook&) const = default;
};

void tell(RunBook& runs, const Entry& entry, const RunOpened& body);
void tell(RunBook& runs, const Entry& entry, const FirstPieceLooked& body);
void tell(RunBook& runs, const Entry& entry, const CareDone& body);
void tell(RunBook& runs, const Entry& entry, const RunPaused& body);
void tell(RunBook& runs, const Entry& entry, const RunResumed& body);
void tell(RunBook& runs, const Entry& entry, const HandedOver& body);
void tell(RunBook& runs, const Entry& entry, const RunClosed& body);
void tell(RunBook& runs, const Entry& entry, const CareChosen& body);
void tell(RunBook& runs, const Entry& entry, const FirstPiecesChosen& body);

}  // namespace boxfettle
