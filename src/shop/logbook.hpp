// The chain of entries: adding to it, and finding out whether anything in it was changed.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "shop/content_hash.hpp"
#include "shop/entry.hpp"

namespace boxfettle {

// Where the chain ends. An empty logbook has the default head.
struct Head {
  std::int64_t seq = 0;
  ContentHash hash;
  bool operator==(const Head&) const = default;
};

struct Draft {  // what a request adds: everything of an entry but its place in the chain
  UtcTime at;
  std::string who;
  std::string request;
  std::string box;
  std::vector<EntryBody> bodies;
};

// The drafted bodies as entries that continue the chain after `head`. Throws InputError as `canonical_text`
// does.
std::vector<Entry> append(const Head& head, const Draft& draft);

Head head_after(const Entry& entry);

struct ChainCheck {
  bool whole = true;
  std::int64_t entries = 0;  // that were looked at and found good
  std::optional<std::int64_t>
      broken_at;  // the first entry that does not fit: its place in the chain, counted from 1
  std::string why;
};

// Looks at entries as they are stored, one after the other. A chain that was cut at its end is whole: only a
// head kept elsewhere (printed, or on another machine) tells that.
class ChainVerifier {
 public:
  void next(std::string_view canonical_text, const ContentHash& hash);
  const ChainCheck& result() const { return check_; }
  const Head& head() const { return head_; }  // of the good part

 private:
  void broken(std::string why);

  Head head_;
  ChainCheck check_;
};

ChainCheck verify(std::span<const Entry> entries);

}  // namespace boxfettle
