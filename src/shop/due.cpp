#include "shop/due.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "shop/care_clock.hpp"
#include "shop/sentence.hpp"
#include "shop/spare_stock.hpp"

namespace boxfettle {
namespace {

using What = DueItem::What;
using Roles = std::vector<Role>;

std::chrono::milliseconds hours_ms(double hours) {
  return std::chrono::milliseconds(std::llround(hours * 3600e3));
}

class Gathering {
 public:
  Gathering(const Catalogue& catalogue, UtcTime now) : catalogue_(catalogue), now_(now) {}

  void of(const BoxState& box) {
    if (box.scrapped) return;
    runs(box);
    inspection(box);
    care(box);
    concessions(box);
    traces(box);
    jobs(box);
  }

  void of(const SpareOnShelf& spare) {
    if (spare.ordered == 0 || !spare.arrives) return;
    add({What::delivery, "delivery " + spare.spare, "",
         std::to_string(spare.ordered) + " of spare " + spare.spare + " come in.", *spare.arrives, 0,
         Roles{Role::fitter, Role::tooling}});
  }

  std::vector<DueItem> sorted() {
    std::stable_sort(items_.begin(), items_.end(),
                     [](const DueItem& a, const DueItem& b) { return a.at < b.at; });
    return std::move(items_);
  }

 private:
  void add(DueItem item) { items_.push_back(std::move(item)); }

  static std::string called(const BoxState& box) {
    return box.box + (box.registered ? " (" + box.registered->name + ")" : "");
  }

  void runs(const BoxState& box) {
    for (const auto& [plan, run] : box.jobs.planned) {
      std::string text = "Run " + plan + " of " + called(box) + " is planned to start";
      if (!run.station.empty()) text += " on " + run.station;
      if (run.quantity > 0) text += ", " + std::to_string(run.quantity) + " cores";
      if (!box.jobs.open.empty()) text += "; jobs open on the box: " + std::to_string(box.jobs.open.size());
      Roles roles{Role::operator_, Role::supervisor};
      if (!box.jobs.open.empty()) roles.insert(roles.end(), {Role::fitter, Role::tooling});
      add({What::run, "run " + plan, box.box, text + ".", run.start, 0, std::move(roles)});
    }
  }

  void inspection(const BoxState& box) {
    if (catalogue_.inspect_again_after.count() == 0) return;
    const UtcTime since = box.inspected_entry > 0 ? box.inspected_at : box.registered_at;
    const UtcTime at = box.inspected_entry > 0 ? since + catalogue_.inspect_again_after : since;
    add({What::inspection, "inspection " + box.box, box.box,
         (box.inspected_entry > 0 ? "Inspect " : "Inspect for the first time ") + called(box) + ".", at,
         box.inspected_entry, Roles{Role::operator_, Role::supervisor, Role::tooling}});
  }

  // Minutes of running are told as minutes from now: the run goes on, as far as anybody knows.
  void care(const BoxState& box) {
    if (!box.runs.open) return;
    for (const CareStanding& care : care_standing(box.runs, box.runs.open->shots_told, now_)) {
      if (care.how == CareStanding::How::each_core) continue;
      double minutes = 1e9;
      if (care.minutes_left) minutes = std::min(minutes, *care.minutes_left);
      if (care.days_left) minutes = std::min(minutes, *care.days_left * 24 * 60);
      if (care.shots_left && *care.shots_left <= 0) minutes = std::min(minutes, 0.0);
      if (minutes >= 1e9) continue;
      add({What::care, "care " + box.runs.open->opened.run + " " + care.rule.id, box.box,
           ended(care.rule.title + ", " + called(box)), now_ + hours_ms(minutes / 60), box.runs.open->entry,
           Roles{Role::operator_, Role::supervisor}});
    }
  }

  void concessions(const BoxState& box) {
    for (const OpenConcession& given : box.concessions) {
      const bool still_held = std::any_of(box.holds.begin(), box.holds.end(), [&](const OpenHold& hold) {
        const auto& covered = given.conceded.holds;
        return std::find(covered.begin(), covered.end(), hold.entry) != covered.end();
      });
      if (!still_held) continue;
      add({What::concession, "concession " + std::to_string(given.entry), box.box,
           "The concession for " + called(box) + " ends; it is held again from then on.", given.conceded.until,
           given.entry, Roles{Role::supervisor, Role::quality, Role::tooling}});
    }
  }

  void traces(const BoxState& box) {
    for (const auto& [id, trace] : box.suspects.traces) {
      if (trace.closed()) continue;
      const std::size_t left = trace.listed.lots.size() - trace.dealt_with.size();
      add({What::trace, "trace " + id, box.box,
           "Suspect cores of " + called(box) + ": " + std::to_string(left) + " of " +
               std::to_string(trace.listed.lots.size()) + " lots not dealt with.",
           trace.at, trace.entry, Roles{Role::quality, Role::supervisor}});
    }
  }

  void jobs(const BoxState& box) {
    for (const auto& [id, job] : box.jobs.open) {
      if (!job.started) continue;
      add({What::job, "job " + id, box.box,
           "Job " + id + " with " + job.started->fitter + ": " + ended(job.raised.what),
           job.started_at + hours_ms(job.raised.hours), job.entry, Roles{Role::fitter, Role::tooling}});
    }
  }

  const Catalogue& catalogue_;
  UtcTime now_;
  std::vector<DueItem> items_;
};

}  // namespace

std::string_view name(DueItem::What what) {
  constexpr std::array<std::string_view, 7> names{"run",      "inspection", "care", "concession",
                                                  "delivery", "trace",      "job"};
  return names[static_cast<std::size_t>(what)];
}

std::vector<DueItem> due_items(const ShopState& shop, std::span<const std::shared_ptr<const BoxState>> boxes,
                               const Catalogue& catalogue, UtcTime now) {
  Gathering gathering(catalogue, now);
  for (const auto& box : boxes) gathering.of(*box);
  for (const SpareOnShelf& spare : spares_on_shelf(shop, boxes)) gathering.of(spare);
  return gathering.sorted();
}

}  // namespace boxfettle
