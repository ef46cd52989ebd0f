// What is known of one box after some entries: the fold of the logbook. Keeping it entry by entry or folding
// all entries again gives the same value.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "shop/entry.hpp"
#include "shop/job_book.hpp"
#include "shop/kit.hpp"
#include "shop/matters.hpp"
#include "shop/run_state.hpp"
#include "shop/suspect_book.hpp"

namespace boxfettle {

struct LastResult {  // what a checkpoint said when it was last looked at
  CheckpointResult result;
  std::int64_t entry = 0;
  UtcTime at;
  std::string who = {};
  bool operator==(const LastResult&) const = default;
};

struct MeasuredThen {  // what a checkpoint measured, when the box had made so many cores in closed runs
  std::int64_t made = 0;
  double value = 0;
  std::int64_t entry = 0;
  bool operator==(const MeasuredThen&) const = default;
};

struct LastScan {
  ScanRead scan;
  std::int64_t entry = 0;
  UtcTime at;
  bool operator==(const LastScan&) const = default;
};

struct OpenHold {
  Held held;
  std::int64_t entry = 0;
  UtcTime at;
  std::string who;
  bool operator==(const OpenHold&) const = default;
};

struct OpenConcession {
  Conceded conceded;
  std::int64_t entry = 0;
  UtcTime at;
  std::string who;
  std::int64_t made_before = 0;  // cores the box had made in all when it was given
  bool operator==(const OpenConcession&) const = default;
};

struct OutOfUse {  // quarantine or scrap
  std::string why;
  std::int64_t entry = 0;
  UtcTime at;
  std::string who;
  bool operator==(const OutOfUse&) const = default;
};

struct KnownComponent {
  ComponentFitted fitted;
  std::int64_t entry = 0;
  UtcTime at;
  std::int64_t made_before = 0;  // cores the box had made when it was fitted
  bool operator==(const KnownComponent&) const = default;
};

struct LastComputed {
  Computed computed;
  std::int64_t entry = 0;
  UtcTime at;
  bool operator==(const LastComputed&) const = default;
};

struct KnownFile {
  FileFiled filed;
  std::int64_t entry = 0;
  UtcTime at;
  bool operator==(const KnownFile&) const = default;
};

struct BoxState {
  std::string box;
  std::optional<BoxRegistered> registered;
  std::int64_t registered_entry = 0;
  UtcTime registered_at;
  Place place;                                                // home place until it was moved
  std::int64_t place_entry = 0;                               // the entry that told the place; 0 before any
  std::map<std::string, LastResult> results;                  // by checkpoint id
  std::map<std::string, std::vector<MeasuredThen>> measured;  // by checkpoint, oldest first, the last 200
  std::int64_t inspected_entry = 0;                           // the last inspection; 0 before any
  UtcTime inspected_at;
  // A scan of one half lifts nothing that a core or the other half showed, nor the other way round.
  std::map<ScanRead::Subject, LastScan> last_scan;          // whatever it said
  std::map<ScanRead::Subject, LastScan> last_telling_scan;  // 'cannot tell' never lifts what came before
  std::map<std::string, LastComputed> computed;  // by what was computed
  std::vector<OpenHold> holds;                   // in the order they were put on
  std::vector<OpenConcession> concessions;       // oldest first; those run out are still here
  std::optional<OutOfUse> quarantine;
  std::optional<OutOfUse> scrapped;
  std::map<std::string, KnownComponent> components;  // by id
  std::map<std::string, KnownFile> files;            // drawings and sheets, by name
  Kit kit;
  RunBook runs;
  SuspectBook suspects;
  JobBook jobs;
  LastChanges changes;             // the last entry of each matter
  std::set<std::string> requests;  // that have been carried out
  std::int64_t last_entry = 0;

  bool operator==(const BoxState&) const = default;
};

// Whether a concession covers the entry that holds the box. `shots`: made since the last run was closed.
bool conceded_now(const BoxState& state, std::int64_t entry, std::int64_t shots, UtcTime now);

// The state after one more entry. An entry of another box changes nothing. Never fails.
BoxState fold(BoxState state, const Entry& entry);
void fold_into(BoxState& state, const Entry& entry);  // the same, in place

// The state of `box` after all `entries`; those of other boxes are passed over.
BoxState replay(std::string_view box, std::span<const Entry> entries);

}  // namespace boxfettle
