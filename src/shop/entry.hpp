// One line of the logbook: who told what about which box, when. Entries are only ever added; each carries the
// hash of the one before it. docs/how/logbook.md shows the text that the hash covers and how to check it by
// hand.
//
// Bodies are plain values; each family has its own header. They have their own types where another room has a
// similar one (limits, findings), because what was written years ago must stay readable when that room
// changes.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "shop/content_hash.hpp"
#include "shop/finding_entries.hpp"
#include "shop/hold_entries.hpp"
#include "shop/piece_entries.hpp"
#include "shop/place.hpp"
#include "shop/run_entries.hpp"
#include "shop/tool_room_entries.hpp"
#include "shop/trace_entries.hpp"
#include "shop/utc_time.hpp"

namespace boxfettle {

// The box's identity as it stood when it was registered. Registering again replaces all of it.
struct BoxRegistered {
  struct Limits {
    double surface_mm = 0.30;
    double mismatch_mm = 0.40;
    double gap_mm = 0.20;
    double weight_percent = 2.0;
    bool operator==(const Limits&) const = default;
  };
  std::string name;
  std::string makes;       // the core it makes, in words
  std::string process;     // as in the box file: "cold-box", "hot-box", ...
  std::string material;    // as in the box file: "aluminium", "grey-iron", ...
  std::string home_place;  // where it stands when nobody uses it: "Rack B, bay 3"
  Limits limits;
  std::optional<ContentHash> box_file;  // content of the box file
  std::optional<ContentHash> design;  // content of the core's nominal shape; absent: its scans cannot be read
  std::string design_name;            // the design's file name, for its extension; empty without a design

  bool operator==(const BoxRegistered&) const = default;
};

struct Moved {
  Place to;
  bool operator==(const Moved&) const = default;
};

struct CheckpointResult {
  std::string checkpoint;  // its id in the catalogue
  bool passed = false;
  std::optional<double> measured;
  std::string unit;  // of `measured`, as the catalogue said on that day
  std::string remark;
  std::optional<ContentHash> photo = {};  // content of the picture that shows it

  bool operator==(const CheckpointResult&) const = default;
};

struct Inspected {
  int catalogue_version = 0;
  std::vector<CheckpointResult> results;  // at least one; each checkpoint at most once
  bool operator==(const Inspected&) const = default;
};

// A scan was read. The reading itself is kept beside the logbook under `reading`; this is what a verdict
// rests on.
struct ScanRead {
  enum class Verdict { fit, watch, hold, cannot_tell };
  enum class Subject { core, half_upper, half_lower };  // what was scanned
  struct Finding {
    std::string kind;      // "wear", "fin", ... as the reading named it
    std::string severity;  // "note", "watch", "hold"
    std::string text;      // one sentence for a fitter
    double depth_mm = 0;   // signed
    double limit_mm = 0;   // what the depth was judged by
    bool operator==(const Finding&) const = default;
  };
  std::string reading;    // id of the kept reading
  std::string file_name;  // of the scan, as it was handed in
  Subject of = Subject::core;
  std::optional<ContentHash> scan;
  Verdict verdict = Verdict::cannot_tell;
  std::vector<Finding> findings;      // hardest first
  std::optional<double> mismatch_mm;  // worst shift of the halves, when told
  std::optional<double> gap_mm;       // opening at the centroid, when told

  bool operator==(const ScanRead&) const = default;
};

// Nobody may run the box until this hold is released.
struct Held {
  std::string why;
  bool safety = false;  // someone could be hurt: no role can waive it
  std::string
      checkpoint;  // the one that must pass again first; always given for a safety hold, else may be empty

  bool operator==(const Held&) const = default;
};

struct Released {
  std::string why;
  std::vector<std::int64_t> holds;  // entries whose hold ends here; never empty
  bool operator==(const Released&) const = default;
};

struct NoteWritten {
  std::string text;
  bool operator==(const NoteWritten&) const = default;
};

using EntryBody =
    std::variant<BoxRegistered, Moved, Inspected, ScanRead, Held, Released, NoteWritten, Computed,
                 ComponentFitted, PieceRegistered, PieceMoved, PieceRetired, FileFiled, StockTaken, Conceded,
                 Quarantined, QuarantineLifted, Scrapped, RunOpened, FirstPieceLooked, CareDone, RunPaused,
                 RunResumed, HandedOver, RunClosed, CareChosen, FirstPiecesChosen, DefectSeen, DefectNotSeen,
                 CauseConfirmed, LearningReset, SuspectsListed, LotDealtWith, FalseAlarm, JobRaised,
                 JobStarted, JobDone, JobDropped, RunPlanned, RunUnplanned, SpareCounted, FitterHours, FitterAway,
                 PlaceRegistered, SandMixed, ShopCareChosen, CatalogueWritten>;

// Stands where the box stands in an entry about the whole shop. No box can have this number.
inline constexpr std::string_view whole_shop = "the shop";

// Entries about the whole shop are these kinds and no others.
bool of_whole_shop(const EntryBody& body);

struct Entry {
  std::int64_t seq = 0;  // 1, 2, 3, ... over the whole shop
  UtcTime at;
  std::string who;
  std::string request;  // made up by whoever sent it; the entries of one request share it
  std::string box;
  EntryBody body;
  ContentHash previous;  // all zero for the first entry
  ContentHash hash;      // of `previous` and the canonical text

  bool operator==(const Entry&) const = default;
};

// "registered", "moved", "inspected", "scan-read", "held", "released", "note"; of all others their own
// `kind`.
std::string_view kind(const EntryBody& body);
std::string_view name(ScanRead::Verdict verdict);  // "fit", "watch", "hold", "cannot-tell"
std::optional<ScanRead::Verdict> scan_verdict_named(std::string_view text);
std::string_view name(ScanRead::Subject subject);  // "core", "half-upper", "half-lower"
std::optional<ScanRead::Subject> scanned_subject_named(std::string_view text);

// Throws InputError (file empty, place "results[2].remark") when a text is empty where it may not be, too
// long, not UTF-8 or has control characters, a number is not finite, or a list is too long. Everything
// written has passed this.
void check_body(const EntryBody& body);

// The same for what stands around the body. `request` has 8 to 64 characters.
void check_sender(const std::string& who, const std::string& request, const std::string& box);

}  // namespace boxfettle
