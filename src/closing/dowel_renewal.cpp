#include "closing/dowel_renewal.hpp"

#include <algorithm>
#include <cmath>

#include "closing/convex_hull.hpp"
#include "closing/dowel_play.hpp"

namespace boxfettle {
namespace {

// So many sets of changes are tried: some 300 for the four dowels of a box, fewer when there are more, as
// each trial then takes longer.
std::size_t most_trials(std::size_t dowels) {
  return std::max<std::size_t>(5000 / (dowels * dowels), 20);
}

std::optional<SizeLimits> limits_mm(double size_mm, const ToleranceClass& tolerance) {
  if (!(size_mm >= 1 && size_mm <= 500)) return std::nullopt;
  const auto limits = limits_of(size_mm, tolerance);
  if (!limits) return std::nullopt;
  return SizeLimits{size_mm + limits->lower_um / 1000, size_mm + limits->upper_um / 1000};
}

void offer(std::vector<DowelChange>& changes, const Dowel& before, DowelChange change) {
  const Dowel& after = change.after;
  if (after.bush_mm - after.pin_mm < before.bush_mm - before.pin_mm - 1e-4)
    changes.push_back(std::move(change));
}

constexpr std::size_t most_choices = 5000;

struct Choice {
  std::vector<std::size_t> picked;  // per dowel: 0 leaves it, k takes its k-th change
  double effort;
};

std::vector<Choice> choices_by_effort(const std::vector<std::vector<DowelChange>>& changes) {
  std::vector<Choice> choices{{{}, 0}};
  for (const std::vector<DowelChange>& one : changes) {
    std::vector<Choice> longer;
    for (const Choice& choice : choices)
      for (std::size_t k = 0; k <= one.size(); ++k) {
        Choice next = choice;
        next.picked.push_back(k);
        if (k > 0) next.effort += one[k - 1].effort;
        longer.push_back(std::move(next));
      }
    choices = std::move(longer);
    std::stable_sort(choices.begin(), choices.end(),
                     [](const Choice& a, const Choice& b) { return a.effort < b.effort; });
    if (choices.size() > most_choices) choices.resize(most_choices);
  }
  return choices;
}

}  // namespace

std::string_view name(Renewed what) {
  switch (what) {
    case Renewed::pin:
      return "new pin";
    case Renewed::oversize_pin:
      return "oversize pin";
    case Renewed::bush:
      return "new bush";
    case Renewed::pin_with_bush:
      break;
  }
  return "new pin and bush";
}

double nominal_size_mm(const Dowel& dowel) {
  constexpr double slack_mm = 0.011;  // a pin made to g6 measures a little below its size
  for (const double step : {1.0, 0.5}) {
    const double size = std::round(dowel.pin_mm / step) * step;
    if (size >= dowel.pin_mm - slack_mm && size <= dowel.bush_mm + slack_mm) return size;
  }
  const double above = std::ceil(dowel.pin_mm - slack_mm);
  return above <= dowel.bush_mm + slack_mm ? above : std::round(dowel.pin_mm * 2) / 2;
}

std::vector<DowelChange> possible_changes(std::span<const Dowel> dowels, std::size_t which,
                                          const RenewalSettings& settings) {
  std::vector<DowelChange> changes;
  const Dowel& before = dowels[which];
  const double nominal = nominal_size_mm(before);
  const auto pin = limits_mm(nominal, settings.fit.shaft);
  const auto bush = limits_mm(nominal, settings.fit.hole);
  if (!pin || !bush) return changes;
  const auto change = [&](Renewed what, double size_mm, double pin_mm, double bush_mm, double effort) {
    DowelChange made{which, what, size_mm, before, effort};
    made.after.pin_mm = pin_mm;
    made.after.bush_mm = bush_mm;
    return made;
  };
  if (pin->upper_um <= before.bush_mm)
    offer(changes, before, change(Renewed::pin, nominal, pin->lower_um, before.bush_mm, settings.pin_effort));
  for (double over = settings.most_oversize_mm; over > 0.5 * settings.oversize_step_mm;
       over -= settings.oversize_step_mm) {
    const auto larger = limits_mm(nominal + over, settings.fit.shaft);
    if (!larger || larger->upper_um > before.bush_mm - settings.least_clearance_mm) continue;
    offer(changes, before,
          change(Renewed::oversize_pin, nominal + over, larger->lower_um, before.bush_mm,
                 settings.oversize_pin_effort));
    break;  // the largest that enters
  }
  if (before.pin_mm <= bush->lower_um)
    offer(changes, before,
          change(Renewed::bush, nominal, before.pin_mm, bush->upper_um, settings.bush_effort));
  offer(changes, before,
        change(Renewed::pin_with_bush, nominal, pin->lower_um, bush->upper_um,
               settings.pin_effort + settings.bush_effort));
  return changes;
}

std::optional<Renewal> cheapest_renewal(std::span<const Dowel> dowels,
                                        std::span<const Eigen::Vector2d> places_mm, double limit_mm,
                                        const RenewalSettings& settings) {
  const std::vector<Eigen::Vector2d> hull = convex_hull(places_mm);
  if (hull.empty()) return std::nullopt;
  std::vector<std::vector<DowelChange>> changes;
  for (std::size_t i = 0; i < dowels.size(); ++i) changes.push_back(possible_changes(dowels, i, settings));
  std::optional<Renewal> best;
  std::size_t trials = 0;
  for (const Choice& choice : choices_by_effort(changes)) {
    if (choice.effort == 0) continue;
    if (best && choice.effort > best->effort) break;
    if (++trials > most_trials(dowels.size())) break;
    std::vector<Dowel> renewed(dowels.begin(), dowels.end());
    Renewal trial{{}, 0, choice.effort};
    for (std::size_t i = 0; i < renewed.size(); ++i)
      if (choice.picked[i] > 0) {
        trial.changes.push_back(changes[i][choice.picked[i] - 1]);
        renewed[i] = trial.changes.back().after;
      }
    const DowelPlay play(renewed);
    if (!play.held()) continue;
    trial.worst_mm = play.worst_along(hull)->mm;
    if (trial.worst_mm <= limit_mm && (!best || trial.worst_mm < best->worst_mm)) best = std::move(trial);
  }
  return best;
}

}  // namespace boxfettle
