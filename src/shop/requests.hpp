// What people ask of the logbook, and the rules that answer: entries to append, or a refusal that says what
// to do next.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "shop/box_state.hpp"
#include "shop/checkpoint.hpp"
#include "shop/entry.hpp"
#include "shop/role.hpp"
#include "shop/shop_state.hpp"
#include "shop/trace.hpp"

namespace boxfettle {

struct RegisterBox {
  BoxRegistered registration;
};
struct MoveBox {
  Place to;
};
struct InspectBox {
  std::vector<CheckpointResult> results;  // `unit` is filled in from the catalogue
};
struct RecordScan {
  ScanRead scan;
};
struct HoldBox {
  std::string why;
  bool safety = false;
  std::string checkpoint;  // what must pass again before release; a safety hold needs one
};
struct ReleaseBox {
  std::string why;  // lifts every open hold of the box, or none
};
struct WriteNote {
  std::string text;
};

// Everything else, told as the entry it becomes; what has a request of its own above is not told so. Numbers
// of runs, traces, jobs and plans are given by the rule when the sender leaves them out; an open run need not
// be named.
struct Tell {
  EntryBody body;
};

struct Request {
  std::string id;  // 8 to 64 characters, made up by the sender: sent again it changes nothing
  std::string box;
  std::variant<RegisterBox, MoveBox, InspectBox, RecordScan, HoldBox, ReleaseBox, WriteNote, Tell> what;
  // The last entry the sender had heard of when it was told without a network. What somebody else told of the
  // same since is not written over: the request is refused. Absent: the sender sees the box as it is now.
  std::optional<std::int64_t> as_of_entry = {};
};

struct Refusal {
  std::string what;  // why not, in the operator's words
  std::string mend;  // what to do next
  bool operator==(const Refusal&) const = default;
};

// What a rule may look at besides the box itself.
struct Standing {
  UtcTime now;
  std::int64_t run_shots = 0;                  // counted since the open run began; 0 where nothing counts
  std::vector<ShopCareChosen> shop_care = {};  // chosen by the shop, see `care_in_force`
  CoresBetween cores_between = [](UtcTime, UtcTime) { return std::nullopt; };  // of this box
};

// Empty bodies mean: this request was carried out before, nothing is to be added.
//
// A failed checkpoint whose consequence is a safety hold puts that hold on at once, in the same request. No
// role can waive a safety hold: it is released only when its checkpoint has passed since. Releasing needs a
// supervisor, quality or tooling. A box must be registered before anything else is told of it.
//
// Throws InputError (place names the field) for text or numbers that may not be written at all.
std::variant<std::vector<EntryBody>, Refusal> decide(const BoxState& state, const Request& request,
                                                     const Person& person, const Catalogue& catalogue,
                                                     const Standing& standing);

// The same for what concerns the whole shop: `request.box` is `whole_shop`.
std::variant<std::vector<EntryBody>, Refusal> decide_for_shop(const Request& request, const Person& person,
                                                              const ShopState& shop);

}  // namespace boxfettle
