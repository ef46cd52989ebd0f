// A box of which one entry after the other is told, for tests.
#pragma once

#include <string>
#include <utility>

#include "shop/box_state.hpp"

namespace boxfettle {

class ToldBox {
 public:
  // The entry's number.
  std::int64_t tell(UtcTime at, EntryBody body) {
    Entry entry;
    entry.seq = ++last_;
    entry.at = at;
    entry.who = "Asha";
    entry.request = "request-" + std::to_string(last_);
    entry.box = "TM-0412";
    entry.body = std::move(body);
    fold_into(state, entry);
    return last_;
  }

  BoxState state;

 private:
  std::int64_t last_ = 0;
};

inline Inspected looked(const std::string& checkpoint, bool passed) {
  CheckpointResult result;
  result.checkpoint = checkpoint;
  result.passed = passed;
  return {1, {result}};
}

}  // namespace boxfettle
