#include "closing/parting_gap.hpp"

#include <algorithm>
#include <cstdio>

#include "closing/core_weight.hpp"
#include "closing/gap_causes.hpp"
#include "closing/parting_leak.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;

constexpr double low_margin = 1.2;  // the torque's scatter already taken off (common practice)

template <typename... Values>
std::string sentence(const char* format, Values... values) {
  char text[400];
  std::snprintf(text, sizeof text, format, values...);
  return text;
}

std::vector<FeelerReading> clamped_readings(const CoreBox& box) {
  std::vector<FeelerReading> readings;
  for (const GapReading& reading : box.gap_readings)
    readings.push_back({reading.at_parting_mm, reading.clamped_mm});
  return readings;
}

std::vector<FeelerReading> unclamped_readings(const CoreBox& box) {
  std::vector<FeelerReading> readings;
  for (const GapReading& reading : box.gap_readings)
    if (reading.unclamped_mm) readings.push_back({reading.at_parting_mm, *reading.unclamped_mm});
  return readings;
}

// A field asked at many places: the mean of what stands open, and the largest.
Growth growth_over(const GapField& field, std::span<const Vector2d> cells,
                   std::span<const Vector2d> outline) {
  Growth growth;
  growth.max_mm = -1;
  Vector2d middle = Vector2d::Zero();
  const auto take_largest = [&](const Vector2d& place, double opening) {
    if (opening <= growth.max_mm) return;
    growth.max_mm = opening;
    growth.at_parting_mm = place;
  };
  for (const Vector2d& cell : cells) {
    const double opening = std::max(field.opening_mm(cell), 0.0);
    growth.mean_mm += opening / static_cast<double>(cells.size());
    middle += cell / static_cast<double>(cells.size());
    take_largest(cell, opening);
  }
  for (const Vector2d& place : outline) take_largest(place, std::max(field.opening_mm(place), 0.0));
  growth.u95_mm = field.u95_mm(growth.at_parting_mm);
  growth.mean_u95_mm = field.u95_mm(middle);
  return growth;
}

Growth growth_by_readings(const CoreBox& box, const FeelerSettings& feelers) {
  Growth growth;
  growth.max_mm = -1;
  for (const GapReading& reading : box.gap_readings) {
    growth.mean_mm += reading.clamped_mm / static_cast<double>(box.gap_readings.size());
    if (reading.clamped_mm <= growth.max_mm) continue;
    growth.max_mm = reading.clamped_mm;
    growth.at_parting_mm = reading.at_parting_mm;
  }
  growth.u95_mm = growth.mean_u95_mm = feelers.leaf_step_mm / 2;
  return growth;
}

void add_openings(PartingGap& gap, const CoreBox& box, const CavityFootprint* footprint,
                  const PartingGapSettings& settings) {
  const std::vector<FeelerReading> clamped = clamped_readings(box), unclamped = unclamped_readings(box);
  if (clamped.empty()) {
    gap.notes.emplace_back("The box file holds no feeler readings: growth, weight and leak cannot be told.");
    return;
  }
  gap.clamped.emplace(clamped, settings.feelers);
  if (!unclamped.empty()) gap.unclamped.emplace(unclamped, settings.feelers);
  if (!gap.clamped->told()) {
    gap.notes.push_back("Weight and leak cannot be told: " + gap.clamped->why_not() + ".");
    gap.growth = growth_by_readings(box, settings.feelers);
    return;
  }
  if (footprint != nullptr && !footprint->cells_mm.empty()) {
    gap.growth = growth_over(*gap.clamped, footprint->cells_mm, footprint->outline_points_mm());
  } else {
    std::vector<Vector2d> places;
    places.reserve(clamped.size());
    for (const FeelerReading& reading : clamped) places.push_back(reading.at_parting_mm);
    gap.growth = growth_over(*gap.clamped, places, {});
    gap.notes.emplace_back(
        "No design: growth was taken over the readings; added weight and leak cannot be told.");
  }
}

void add_weight(PartingGap& gap, const CoreBox& box, const CavityFootprint& footprint) {
  AddedWeight added;
  const double density = box.sand.bulk_density_g_cm3;
  added.volume_cm3 = gap.growth->mean_mm * footprint.projected_area_mm2 / 1000;
  added.volume_u95_cm3 = gap.growth->mean_u95_mm * footprint.projected_area_mm2 / 1000;
  added.weight_g = weight_of_opening_g(gap.growth->mean_mm, footprint.projected_area_mm2, density);
  added.core_weight_g = footprint.cavity_volume_mm3 * density / 1000;
  if (added.core_weight_g > 0) added.percent = 100 * added.weight_g / added.core_weight_g;
  gap.added = added;
}

// The worst that has been said so far.
struct Judgement {
  ClosingVerdict verdict;
  void at_least(ClosingVerdict worse) {
    if (verdict == ClosingVerdict::cannot_tell || worse > verdict) verdict = worse;
  }
};

void judge_opening(PartingGap& gap, const CoreBox& box, Judgement& judgement) {
  const double limit = box.limits.gap_mm;
  const Growth& g = *gap.growth;
  gap.advice.push_back(sentence(
      "Clamped, the face stands open by up to %.3f mm (give or take %.3f) at (%.0f, %.0f); the limit is "
      "%.2f mm.",
      g.max_mm, g.u95_mm, g.at_parting_mm.x(), g.at_parting_mm.y(), limit));
  if (g.max_mm - g.u95_mm > limit)
    judgement.at_least(ClosingVerdict::hold);
  else if (g.max_mm + g.u95_mm > limit)
    judgement.at_least(ClosingVerdict::watch);
  if (gap.added && gap.added->percent > box.limits.weight_percent) {
    judgement.at_least(ClosingVerdict::watch);
    gap.advice.push_back(sentence("That makes the core %.1f %% heavier; the limit is %.1f %%.",
                                  gap.added->percent, box.limits.weight_percent));
  }
}

void judge_sand(PartingGap& gap, Judgement& judgement) {
  if (gap.sand == SandEscape::runs_out) {
    judgement.at_least(ClosingVerdict::hold);
    gap.advice.push_back(
        sentence("Sand runs out: the opening is wider than twice the grain of %.2f mm.", gap.grain_mm));
  } else if (gap.sand == SandEscape::single_grains) {
    gap.advice.push_back(sentence(
        "Single grains of %.2f mm are blown out through the opening; it wears the face.", gap.grain_mm));
  }
}

void judge_clamps(PartingGap& gap, Judgement& judgement) {
  const Clamping& clamps = gap.clamps;
  if (clamps.clamps.empty() || !(clamps.opening_N > 0)) return;
  if (clamps.margin < 1) {
    judgement.at_least(ClosingVerdict::hold);
    gap.advice.push_back(
        sentence("The clamps hold %.0f N against an opening force of %.0f N: the box opens when it is blown.",
                 clamps.force_N, clamps.opening_N));
  } else if (clamps.margin_low < low_margin) {
    if (gap.growth) judgement.at_least(ClosingVerdict::watch);
    gap.advice.push_back(sentence(
        "With the scatter of tightening the clamps may hold no more than %.2f times the opening force.",
        clamps.margin_low));
  }
  for (const ClampForce& clamp : clamps.clamps)
    if (clamp.proof_share && *clamp.proof_share > 1) {
      judgement.at_least(ClosingVerdict::hold);
      gap.advice.push_back(sentence(
          "%s is tightened beyond its proof load: it stretches. Lower the torque or take a stronger bolt.",
          clamp.id.substr(0, 60).c_str()));
    }
}

void judge(PartingGap& gap, const CoreBox& box) {
  Judgement judgement{gap.growth ? ClosingVerdict::fit : ClosingVerdict::cannot_tell};
  if (gap.growth) judge_opening(gap, box, judgement);
  judge_sand(gap, judgement);
  judge_clamps(gap, judgement);
  gap.verdict = judgement.verdict;
}

}  // namespace

PartingGap parting_gap(const CoreBox& box, const CavityFootprint* footprint,
                       const PartingGapSettings& settings) {
  PartingGap gap;
  gap.grain_mm = mean_grain_mm(box.sand.grain_fineness);
  if (footprint != nullptr) {
    gap.clamps = clamping(box.clamps, 1e5 * box.air.blow_bar, footprint->projected_area_mm2,
                          footprint->centroid_mm, settings.tightening);
  } else {
    gap.clamps = clamping(box.clamps, 0, 0, {0, 0}, settings.tightening);
    gap.notes.emplace_back("No design: the opening force cannot be told.");
  }
  gap.notes.insert(gap.notes.end(), gap.clamps.notes.begin(), gap.clamps.notes.end());
  add_openings(gap, box, footprint, settings);
  if (gap.growth) {
    gap.sand = sand_escape(gap.growth->max_mm, gap.grain_mm);
    gap.closes_under_clamp = gap.growth->max_mm <= box.limits.gap_mm;
  }
  if (footprint != nullptr && gap.clamped && gap.clamped->told()) {
    add_weight(gap, box, *footprint);
    gap.leak = parting_leak(box, *footprint, *gap.clamped, settings);
    gap.notes.push_back(
        sentence("Leak: blow pressure behind the whole outline, a sealing land of %.0f mm, smooth walls; "
                 "the most that can pass.",
                 settings.land_mm));
  }
  for (std::size_t i = 0; i < box.gap_readings.size(); ++i)
    if (box.gap_readings[i].unclamped_mm.value_or(1e9) < box.gap_readings[i].clamped_mm)
      gap.notes.push_back(
          sentence("Feeler reading %zu is larger clamped than unclamped: read it again.", i + 1));
  gap.causes = gap_causes(box, gap);
  judge(gap, box);
  const auto bolted = [](const Clamp& clamp) { return clamp.kind == Clamp::Kind::bolt; };
  if (std::any_of(box.clamps.begin(), box.clamps.end(), bolted))
    gap.notes.push_back(
        sentence("Pull of bolts by T = K d F with K = %.2f, scatter %.0f %% either way (common practice).",
                 settings.tightening.nut_factor, 100 * settings.tightening.scatter));
  return gap;
}

void refuse_readings_off_the_face(const CoreBox& box, const CavityFootprint* footprint,
                                  const std::string& file) {
  Vector2d low = Vector2d::Constant(1e300), high = Vector2d::Constant(-1e300);
  const auto include = [&](const Vector2d& place) {
    low = low.cwiseMin(place);
    high = high.cwiseMax(place);
  };
  for (const Dowel& dowel : box.dowels) include(dowel.at_parting_mm);
  for (const Clamp& clamp : box.clamps) include(clamp.at_parting_mm);
  if (footprint != nullptr)
    for (const Vector2d& cell : footprint->cells_mm) include(cell);
  if (!(high.x() - low.x() > 1 && high.y() - low.y() > 1)) return;  // nothing says how large the face is
  // A face reaches beyond its cavity, dowels and clamps, but not by its own size.
  const Vector2d margin = 0.5 * (high - low).maxCoeff() * Vector2d::Ones();
  for (std::size_t i = 0; i < box.gap_readings.size(); ++i) {
    const Vector2d& at = box.gap_readings[i].at_parting_mm;
    if (((at - low + margin).array() >= 0).all() && ((high + margin - at).array() >= 0).all()) continue;
    throw InputError(file, "gap_reading[" + std::to_string(i + 1) + "].at_mm",
                     "lies outside the parting face", "give the place in the parting face's own axes, in mm");
  }
}

}  // namespace boxfettle
