#include "closing/dowel_check.hpp"

#include <algorithm>
#include <cstdio>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;

template <typename... Values>
std::string sentence(const char* format, Values... values) {
  char text[400];
  std::snprintf(text, sizeof text, format, values...);
  return text;
}

// Pins and bushes where warmth has carried them, about the face's own origin.
std::vector<Dowel> warmed(const CoreBox& box, const DowelCheckSettings& settings) {
  const double per_K = expansion_of(box.material).per_K;
  const double lower = 1 + per_K * (settings.lower_temperature_C - measuring_temperature_C);
  const double upper = 1 + per_K * (settings.upper_temperature_C - measuring_temperature_C);
  std::vector<Dowel> dowels = box.dowels;
  if (lower == 1 && upper == 1) return dowels;
  for (Dowel& dowel : dowels) {
    dowel.bush_at_parting_mm = upper * dowel.bush_at_parting_mm.value_or(dowel.at_parting_mm);
    dowel.at_parting_mm *= lower;
  }
  return dowels;
}

std::optional<PitchBind> bind_of(const CoreBox& box, const DowelCheckSettings& settings) {
  const bool warm = settings.lower_temperature_C != measuring_temperature_C ||
                    settings.upper_temperature_C != measuring_temperature_C;
  if (!warm || box.dowels.size() < 2) return std::nullopt;
  double farthest = -1;
  const Dowel *first = nullptr, *second = nullptr;
  for (const Dowel& a : box.dowels)
    for (const Dowel& b : box.dowels)
      if (const double apart = (a.at_parting_mm - b.at_parting_mm).norm(); apart > farthest) {
        farthest = apart;
        first = &a;
        second = &b;
      }
  return pitch_bind(farthest, {box.material, settings.lower_temperature_C},
                    {box.material, settings.upper_temperature_C}, first->bush_mm - first->pin_mm,
                    second->bush_mm - second->pin_mm);
}

std::vector<Vector2d> places_of(const CoreBox& box, std::span<const Vector2d> outline_mm) {
  std::vector<Vector2d> places(outline_mm.begin(), outline_mm.end());
  for (const WatchPoint& point : box.watch_points) places.push_back(point.at_parting_mm);
  if (places.empty())
    for (const Dowel& dowel : box.dowels) places.push_back(dowel.at_parting_mm);
  return places;
}

std::vector<WearEffect> wear_effects(std::span<const Dowel> dowels, const WorstShift& worst, double step_mm) {
  std::vector<WearEffect> effects;
  for (std::size_t i = 0; i < dowels.size(); ++i) {
    std::vector<Dowel> worn(dowels.begin(), dowels.end());
    worn[i].pin_mm -= step_mm;
    const DowelPlay play(worn);
    const double rise = play.held() ? play.worst_at(worst.at_parting_mm).mm - worst.mm : 0;
    effects.push_back({dowels[i].id, dowels[i].bush_mm - dowels[i].pin_mm, std::max(rise, 0.0)});
  }
  return effects;
}

void advise_what_is_not_held(DowelCheck& check, const CoreBox& box) {
  if (!check.play.assembles()) {
    check.verdict = ClosingVerdict::hold;
    check.advice.push_back(
        sentence("The halves do not go together: at best every bush is %.3f mm too small in radius. "
                 "Measure pins, bushes and their places again.",
                 check.play.interference_mm()));
    return;
  }
  if (box.dowels.size() == 1) {
    check.notes.push_back(
        "One dowel holds the half in place there, but cannot hold it against turning: mismatch away "
        "from the pin cannot be told.");
    check.advice.push_back(
        "Add the second dowel to the box file, or fit one: one dowel cannot locate a half.");
    return;
  }
  check.verdict = ClosingVerdict::hold;
  if (const auto along = check.play.slides_along())
    check.advice.push_back(
        sentence("Nothing holds the half along (%.2f, %.2f): all bushes are slots that lie that way. "
                 "One of them must be round.",
                 along->x(), along->y()));
  else
    check.advice.push_back(
        "The dowels do not hold the half against turning: turn the slot so that its free direction "
        "runs towards the other dowel.");
}

std::string change_text(const DowelChange& change) {
  const Dowel& after = change.after;
  switch (change.what) {
    case Renewed::pin:
      return sentence("%s: a new pin of %g mm", after.id.substr(0, 60).c_str(), change.nominal_mm);
    case Renewed::oversize_pin:
      return sentence("%s: an oversize pin of %.2f mm for the bush as it is", after.id.substr(0, 60).c_str(),
                      change.nominal_mm);
    case Renewed::bush:
      return sentence("%s: a new bush of %g mm", after.id.substr(0, 60).c_str(), change.nominal_mm);
    case Renewed::pin_with_bush:
      break;
  }
  return sentence("%s: a new pin and bush of %g mm", after.id.substr(0, 60).c_str(), change.nominal_mm);
}

void advise_renewal(DowelCheck& check, const RenewalSettings& settings) {
  if (!check.renewal) {
    check.advice.push_back(
        sentence("No new pins and bushes to %s alone bring the worst shift under %.2f mm: set the "
                 "dowels farther apart or choose a closer fit.",
                 settings.fit.text().c_str(), check.limit_mm));
    return;
  }
  std::string text = "Renew ";
  for (std::size_t i = 0; i < check.renewal->changes.size(); ++i)
    text += (i > 0 ? "; " : "") + change_text(check.renewal->changes[i]);
  text += sentence(", to %s: the worst shift falls to %.3f mm.", settings.fit.text().c_str(),
                   check.renewal->worst_mm);
  check.advice.push_back(std::move(text));
}

void judge(DowelCheck& check) {
  const double worst = check.worst->mm;
  const double likely = check.likely ? check.likely->p95_mm : worst;
  if (worst <= check.limit_mm) {
    check.verdict = ClosingVerdict::fit;
    check.advice.push_back(sentence("The worst shift that pins and bushes allow, %.3f mm, is within %.2f mm.",
                                    worst, check.limit_mm));
  } else if (likely <= check.limit_mm) {
    check.verdict = ClosingVerdict::watch;
    check.advice.push_back(
        sentence("At worst the halves can stand %.3f mm apart, beyond %.2f mm; 95 of 100 closings "
                 "are likely to stay within %.3f mm.",
                 worst, check.limit_mm, likely));
  } else {
    check.verdict = ClosingVerdict::hold;
    check.advice.push_back(
        sentence("The halves can stand %.3f mm apart and often will (95 of 100 within %.3f mm); the "
                 "limit is %.2f mm.",
                 worst, likely, check.limit_mm));
  }
}

}  // namespace

CoreBox with_new_fit(CoreBox box, const Fit& fit) {
  for (Dowel& dowel : box.dowels) {
    const double nominal = nominal_size_mm(dowel);
    const FitResult made = fit_result(nominal, fit);
    dowel.pin_mm = nominal + made.shaft.lower_um / 1000;
    dowel.bush_mm = nominal + made.hole.upper_um / 1000;
    if (dowel.slot_length_mm) dowel.slot_length_mm = std::max(*dowel.slot_length_mm, dowel.bush_mm);
    if (dowel.pin_mm > dowel.bush_mm)
      throw InputError("FIT", fit.text(),
                       "leaves no clearance at " + std::to_string(nominal).substr(0, 5) + " mm",
                       "choose a fit with clearance, H7/g6 say");
  }
  return box;
}

DowelCheck dowel_check(const CoreBox& box, std::span<const Vector2d> outline_mm,
                       const DowelCheckSettings& settings) {
  if (box.dowels.empty())
    throw InputError("dowels", "dowel", "the box has none",
                     "add [[dowel]] tables with at_mm, pin_mm and bush_mm");
  // Each pair of bushes is looked at against all others, many hundred times.
  constexpr std::size_t most_dowels = 16;
  if (box.dowels.size() > most_dowels)
    throw InputError(
        "dowels", "dowel", "the box has " + std::to_string(box.dowels.size()),
        "keep the " + std::to_string(most_dowels) + " that locate the halves; a box has two to four");
  const std::vector<Dowel> dowels = warmed(box, settings);
  DowelCheck check{DowelPlay(dowels)};
  check.limit_mm = box.limits.mismatch_mm;
  check.outline_seen = !outline_mm.empty();
  check.pitch = bind_of(box, settings);
  if (!check.play.held()) {
    advise_what_is_not_held(check, box);
    return check;
  }
  const std::vector<Vector2d> places = places_of(box, outline_mm);
  check.worst = check.play.worst_along(places);
  for (const WatchPoint& point : box.watch_points)
    check.watched.push_back({point.id, check.play.worst_at(point.at_parting_mm)});
  check.likely = likely_shift(check.play, check.worst->at_parting_mm, settings.likely);
  LikelyShiftSettings pushed = settings.likely;
  pushed.contact = Contact::pushed;
  pushed.draws = std::max(settings.likely.draws / 2, 1);  // told in a note only
  check.likely_pushed = likely_shift(check.play, check.worst->at_parting_mm, pushed);
  check.wear = wear_effects(dowels, *check.worst, settings.wear_step_mm);
  judge(check);
  if (settings.look_for_renewals && check.worst->mm > check.limit_mm) {
    check.renewal = cheapest_renewal(dowels, places, check.limit_mm, settings.renewal);
    advise_renewal(check, settings.renewal);
  }
  if (!check.outline_seen)
    check.notes.push_back(
        "No outline of the cavity: the worst shift was looked for at the watch points and dowels only.");
  check.notes.push_back(
      sentence("The likely shift takes every position within the play as equally likely; clamps that pull to "
               "one side make it "
               "larger: 95 of 100 closings within %.3f mm.",
               check.likely_pushed->p95_mm));
  return check;
}

}  // namespace boxfettle
