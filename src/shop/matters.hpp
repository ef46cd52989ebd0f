// What an entry is about, as far as two people who tell of the same box without knowing of each other, each
// on a tablet without a network, can get into each other's way.
#pragma once

#include <array>
#include <bitset>
#include <cstddef>
#include <cstdint>
#include <string>

#include "shop/entry.hpp"

namespace boxfettle {

enum class Matter { particulars, place, scan, figures, holds, run, first_pieces, pieces, suspects, shots };

inline constexpr std::size_t how_many_matters = 10;

using Matters = std::bitset<how_many_matters>;  // by Matter

// What the entry changes. Checkpoints are no matter of their own: they are told apart one by one. Empty for
// what may be told in any order: notes, care, defects, jobs.
Matters matters_of(const EntryBody& body);

struct LastChange {
  std::int64_t entry = 0;  // 0: never told of
  std::string who;
  bool operator==(const LastChange&) const = default;
};

using LastChanges = std::array<LastChange, how_many_matters>;  // by Matter

}  // namespace boxfettle
