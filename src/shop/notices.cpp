#include "shop/notices.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <string_view>

#include "shop/sentence.hpp"

namespace boxfettle {
namespace {

using Kinds = std::set<std::string_view>;

// Everybody hears that a box may no longer run, or may again.
const Kinds& for_all() {
  static const Kinds kinds{"held", "released", "conceded", "quarantined", "quarantine-lifted", "scrapped"};
  return kinds;
}

const Kinds& for_role(Role role) {
  static const std::map<Role, Kinds> kinds{
      {Role::operator_,
       {"moved", "piece-moved", "run-planned", "run-unplanned", "care-chosen", "shop-care-chosen",
        "first-pieces-chosen", "job-done", "catalogue-written"}},
      {Role::supervisor,
       {"run-opened", "run-paused", "run-closed", "run-planned", "run-unplanned", "defect-seen", "inspected",
        "suspects-listed", "job-done", "stock-taken", "registered", "fitter-away", "fitter-hours"}},
      {Role::fitter,
       {"inspected", "scan-read", "computed", "job-raised", "job-dropped", "run-planned", "run-unplanned",
        "spare-counted", "fitter-away", "fitter-hours"}},
      {Role::quality,
       {"inspected", "scan-read", "computed", "defect-seen", "cause-confirmed", "suspects-listed",
        "lot-dealt-with", "false-alarm", "catalogue-written"}},
      {Role::tooling,
       {"registered", "inspected", "scan-read", "computed", "cause-confirmed", "job-raised", "job-done",
        "job-dropped", "spare-counted", "component-fitted", "stock-taken", "catalogue-written"}},
  };
  return kinds.at(role);
}

bool mine(const DueItem& item, Role role) {
  return std::find(item.roles.begin(), item.roles.end(), role) != item.roles.end();
}

}  // namespace

bool concerns(Role role, const EntryBody& body) {
  return for_all().contains(kind(body)) || for_role(role).contains(kind(body));
}

Notices notices(const Person& person, std::span<const Entry> since, std::span<const DueItem> items, UtcTime now) {
  Notices told;
  for (const Entry& entry : since)
    if (entry.who != person.name && concerns(person.role, entry.body))
      told.changed.push_back({entry.seq, entry.at, entry.who,
                              entry.box == whole_shop ? std::string() : entry.box, sentence(entry)});
  std::reverse(told.changed.begin(), told.changed.end());
  for (const DueItem& item : items) {
    if (!mine(item, person.role)) continue;
    if (item.at <= now)
      told.overdue.push_back(item);
    else if (item.at <= now + soon)
      told.due.push_back(item);
  }
  return told;
}

}  // namespace boxfettle
