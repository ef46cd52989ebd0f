#include "service/closing_figures.hpp"

#include <cstdio>
#include <optional>

#include "closing/dowel_check.hpp"
#include "closing/parting_gap.hpp"

namespace boxfettle {
namespace {

std::optional<Computed::Verdict> told(ClosingVerdict verdict) {
  switch (verdict) {
    case ClosingVerdict::fit:
      return Computed::Verdict::fit;
    case ClosingVerdict::watch:
      return Computed::Verdict::watch;
    case ClosingVerdict::hold:
      return Computed::Verdict::hold;
    case ClosingVerdict::cannot_tell:
      break;
  }
  return std::nullopt;
}

std::string mm(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.2f mm", value);
  return text;
}

bool measured_last(const std::optional<LastResult>& result, const BoxState& state) {
  return result && result->entry == state.inspected_entry;
}

std::optional<Computed> dowels_computed(const CoreBox& box, const CavityFootprint* footprint,
                                        std::int64_t entry) {
  if (box.dowels.empty()) return std::nullopt;
  DowelCheckSettings settings;
  settings.look_for_renewals = false;
  settings.likely.draws = 2000;
  const DowelCheck check = dowel_check(
      box, footprint != nullptr ? footprint->outline_points_mm() : std::vector<Eigen::Vector2d>{}, settings);
  const auto verdict = told(check.verdict);
  if (!verdict || !check.worst) return std::nullopt;
  return Computed{"dowels",
                  *verdict,
                  "By the shift felt at the dowels the halves can stand " + mm(check.worst->mm) +
                      " apart at the worst place; the limit is " + mm(check.limit_mm) + ".",
                  {{"worst mismatch", check.worst->mm, "mm"}, {"limit", check.limit_mm, "mm"}},
                  entry};
}

std::optional<Computed> gap_computed(const CoreBox& box, const CavityFootprint* footprint,
                                     std::int64_t entry) {
  const PartingGap gap = parting_gap(box, footprint);
  const auto verdict = told(gap.verdict);
  if (!verdict || !gap.growth) return std::nullopt;
  return Computed{"parting gap",
                  *verdict,
                  "By the feeler leaf the parting stands open up to " + mm(gap.growth->max_mm) +
                      " when clamped; the limit is " + mm(box.limits.gap_mm) + ".",
                  {{"largest opening", gap.growth->max_mm, "mm"}, {"limit", box.limits.gap_mm, "mm"}},
                  entry};
}

}  // namespace

std::vector<Computed> closing_figures(const ClosingStudy& study, const BoxState& state) {
  const MeasuredClosing measured = measured_closing(state);
  const CoreBox box = as_measured(study.box, measured);
  const CavityFootprint* footprint = study.footprint ? &*study.footprint : nullptr;
  std::vector<Computed> figures;
  const auto add = [&](const std::optional<Computed>& computed) {
    if (computed) figures.push_back(*computed);
  };
  if (measured_last(measured.dowel_shift, state))
    add(dowels_computed(box, footprint, measured.dowel_shift->entry));
  if (measured_last(measured.leaf_clamped, state))
    add(gap_computed(box, footprint, measured.leaf_clamped->entry));
  return figures;
}

}  // namespace boxfettle
