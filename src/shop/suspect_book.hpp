// Bad cores of one box, as told: defects not yet explained, causes found, and lists of suspect cores.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "shop/entry.hpp"

namespace boxfettle {

struct SeenDefect {
  DefectSeen seen;
  std::int64_t entry = 0;
  UtcTime at;
  std::string who;
  bool operator==(const SeenDefect&) const = default;
};

struct MissedDefect {  // looked for and not there
  CoreDefect defect = CoreDefect::mismatch;
  std::int64_t entry = 0;  // the last one that told it
  UtcTime at;
  bool operator==(const MissedDefect&) const = default;
};

struct ConfirmedCause {
  CauseConfirmed cause;
  std::int64_t entry = 0;
  UtcTime at;
  bool operator==(const ConfirmedCause&) const = default;
};

struct LastTold {  // that one property of the box was good
  std::int64_t entry = 0;
  UtcTime at;
  bool operator==(const LastTold&) const = default;
};

struct ListedTrace {
  SuspectsListed listed;
  std::int64_t entry = 0;
  UtcTime at;
  std::map<std::int64_t, LotDealtWith> dealt_with;  // by lot
  std::string false_alarm;                          // why it was one; empty: it was not
  bool operator==(const ListedTrace&) const = default;

  bool closed() const { return !false_alarm.empty() || dealt_with.size() == listed.lots.size(); }
};

struct SuspectBook {
  std::vector<SeenDefect> unexplained;        // since the last confirmed cause, oldest first
  std::vector<MissedDefect> not_seen;         // since then; none that was seen since
  std::vector<ConfirmedCause> causes;         // oldest first
  std::int64_t explained_entry = 0;           // the last confirmed cause; 0: none was
  std::map<std::string, LastTold> last_good;  // by property, see trace.hpp
  std::map<std::string, LastTold> last_bad;
  std::map<std::string, ListedTrace> traces;  // by trace
  bool operator==(const SuspectBook&) const = default;
};

void tell(SuspectBook& book, const Entry& entry, const Inspected& body);
void tell(SuspectBook& book, const Entry& entry, const ScanRead& body);
void tell(SuspectBook& book, const Entry& entry, const RunOpened& body);
void tell(SuspectBook& book, const Entry& entry, const RunClosed& body);
void tell(SuspectBook& book, const Entry& entry, const PieceMoved& body);
void tell(SuspectBook& book, const Entry& entry, const StockTaken& body);
void tell(SuspectBook& book, const Entry& entry, const DefectSeen& body);
void tell(SuspectBook& book, const Entry& entry, const DefectNotSeen& body);
void tell(SuspectBook& book, const Entry& entry, const CauseConfirmed& body);
void tell(SuspectBook& book, const Entry& entry, const SuspectsListed& body);
void tell(SuspectBook& book, const Entry& entry, const LotDealtWith& body);
void tell(SuspectBook& book, const Entry& entry, const FalseAlarm& body);

}  // namespace boxfettle
