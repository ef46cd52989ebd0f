// The logbook on disk: entries in their canonical text, with their hashes.
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "shop/entry.hpp"
#include "shop/logbook.hpp"
#include "shop/requests.hpp"
#include "store/database.hpp"

namespace boxfettle {

struct Appended {
  enum class How {
    written,        // these entries are on disk now
    already_there,  // their request was carried out before; `entries` are the earlier ones, nothing was added
    head_moved_on,  // someone else wrote in between: read the head again, decide again; nothing was added
  };
  How how = How::written;
  std::vector<Entry> entries;
};

class StoredLogbook {
 public:
  explicit StoredLogbook(Database& database) : database_(database) {}

  Head head();

  // All of `entries` or none, durable on return. They must continue the chain at the head found inside the
  // transaction and be chained among themselves. Entries of many requests may come at once (a restore, the
  // invented shop): then `already_there` speaks of any of their requests. Throws StoreError.
  Appended append(std::span<const Entry> entries);

  // In the order of `seq`. Throws StoreError (damaged) when an entry cannot be read.
  std::vector<Entry> all();
  std::vector<Entry> of_box(std::string_view box);
  std::vector<Entry> since(std::int64_t seq, std::size_t at_most = 1000);  // those with a larger seq
  std::vector<Entry> of_request(std::string_view request);
  std::vector<std::string> boxes();  // every box named in the logbook, sorted

  // Reads every entry as stored and checks the whole chain. A changed byte is an answer here, not an error.
  ChainCheck verify();

 private:
  Database& database_;
};

// The entries a request came to: new ones, or those of the same request sent before.
using CarriedOut = std::variant<std::vector<Entry>, Refusal>;

// Reads the box's entries (the shop's own, when the request is about the whole shop), decides, appends; and
// again when someone else wrote in between. Throws InputError for what may not be written at all, StoreError.
CarriedOut carry_out(StoredLogbook& logbook, const Request& request, const Person& person,
                     const Catalogue& catalogue, const Standing& standing);

}  // namespace boxfettle
