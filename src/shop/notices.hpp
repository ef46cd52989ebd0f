// What one person should know on looking in: what others changed since they last looked, what is overdue, and what
// falls due soon. By role: a fitter hears of jobs and spares, an operator of boxes and care.
#pragma once

#include <chrono>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "shop/due.hpp"
#include "shop/entry.hpp"
#include "shop/role.hpp"

namespace boxfettle {

inline constexpr std::chrono::hours soon{24};

struct Change {
  std::int64_t entry = 0;
  UtcTime at;
  std::string who;
  std::string box;  // empty: the shop's
  std::string text;
};

struct Notices {
  std::vector<Change> changed;   // newest first
  std::vector<DueItem> overdue;  // oldest first
  std::vector<DueItem> due;      // within `soon`
};

// Whether a change of this kind is the role's business.
bool concerns(Role role, const EntryBody& body);

// `since`: the entries after the last one this person has seen. Their own are left out.
Notices notices(const Person& person, std::span<const Entry> since, std::span<const DueItem> items, UtcTime now);

}  // namespace boxfettle
