// What an inspection looks at. The catalogue is data (data/checkpoints.toml), so that a shop can word it for
// its own floor.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

enum class Evidence { yes_no, measure, count, photo };
enum class Consequence { note, watch, hold, safety_hold };

std::string_view name(Evidence evidence);        // "yes-no", "measure", "count", "photo"
std::string_view name(Consequence consequence);  // "note", "watch", "hold", "safety-hold"

// What a measured or counted value of a checkpoint may be. A bound is either a number or a share of one of the
// box's own limits.
struct AllowedValue {
  enum class Of { number, surface, mismatch, gap };
  std::optional<double> at_least;
  std::optional<double> at_most;  // times the limit that `at_most_of` names
  Of at_most_of = Of::number;
  bool operator==(const AllowedValue&) const = default;
};

struct Checkpoint {
  std::string id;  // "dowels"
  std::string title;
  std::string how;  // how to look
  std::string fails_when;
  Evidence evidence = Evidence::yes_no;
  std::string unit;                              // of a measure, "mm"; else empty
  AllowedValue allowed;                          // of a measure or count
  Consequence consequence = Consequence::watch;  // of failing
  std::string caution;                           // shown where looking can hurt someone; else empty
};

struct Catalogue {
  int version = 0;
  std::chrono::days inspect_again_after{0};          // a result older than this is no longer trusted
  std::chrono::hours inspect_before_run_within{24};  // an opening inspection is no older than this
  std::vector<Checkpoint> checkpoints;               // in the order of looking

  const Checkpoint* find(std::string_view id) const;  // null when there is none
};

// Throws InputError naming the line or key: not TOML, a key missing, misspelt or of the wrong type, two
// checkpoints with one id, a name outside its closed set, a measure without a unit.
Catalogue parse_catalogue(std::string_view toml, const std::string& file);

// The catalogue this program was built with, and its text.
const Catalogue& shipped_catalogue();
std::string_view shipped_catalogue_text();

}  // namespace boxfettle
