#include "closing/gap_causes.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

using Eigen::Vector2d;

constexpr double least_weight = 0.15;  // what explains less is not worth a walk
constexpr double sound_margin = 1.5;   // clamp force over opening force, common practice
constexpr double tight_clearance_mm = 0.01;

// How the clamped opening is made up, each part 0..1.
struct Shape {
  double all_round = 0;  // stands open everywhere
  double leans = 0;      // open on one side, shut on the other
  double bends = 0;      // neither
  double closed = 0;     // how much of the unclamped opening the clamps take away
  Vector2d open_side = {0, 0};
};

Shape shape_of(const CoreBox& box, const PartingGap& gap) {
  Shape shape;
  double least = 1e300, most = 0, sum = 0, free_sum = 0, sum_where_free = 0;
  for (const GapReading& reading : box.gap_readings) {
    least = std::min(least, reading.clamped_mm);
    most = std::max(most, reading.clamped_mm);
    sum += reading.clamped_mm;
    if (!reading.unclamped_mm) continue;
    free_sum += *reading.unclamped_mm;
    sum_where_free += reading.clamped_mm;
  }
  if (free_sum > 0) shape.closed = std::clamp(1 - sum_where_free / free_sum, 0.0, 1.0);
  if (!(most > 0)) return shape;
  shape.all_round = least / most;
  if (!gap.clamped || !gap.clamped->told()) return shape;
  double lean_least = 1e300, lean_most = -1e300;
  for (const GapReading& reading : box.gap_readings) {
    const double lean = gap.clamped->slope().dot(reading.at_parting_mm);
    lean_least = std::min(lean_least, lean);
    lean_most = std::max(lean_most, lean);
  }
  shape.leans = std::clamp((lean_most - lean_least) / most, 0.0, 1.0);
  shape.bends = std::clamp(gap.clamped->warp_mm() / most, 0.0, 1.0);
  const double slope = gap.clamped->slope().norm();
  if (slope > 0) shape.open_side = gap.clamped->slope() / slope;
  return shape;
}

// Whether the clamp that goes slack first stands where the face is open.
double weak_clamp_on_open_side(const PartingGap& gap, const Shape& shape) {
  if (!gap.clamps.slack_first) return 0;
  Vector2d middle = Vector2d::Zero();
  for (const ClampForce& clamp : gap.clamps.clamps)
    middle += clamp.at_parting_mm / static_cast<double>(gap.clamps.clamps.size());
  const Vector2d off = gap.clamps.clamps[*gap.clamps.slack_first].at_parting_mm - middle;
  return off.norm() > 0 ? std::max(off.normalized().dot(shape.open_side), 0.0) : 0;
}

double tightest_clearance_mm(const CoreBox& box) {
  double least = 1e300;
  for (const Dowel& dowel : box.dowels) least = std::min(least, dowel.bush_mm - dowel.pin_mm);
  return least;
}

}  // namespace

std::string_view name(GapCause cause) {
  switch (cause) {
    case GapCause::weak_clamps:
      return "weak-clamps";
    case GapCause::dirt:
      return "dirt";
    case GapCause::damage:
      return "damage";
    case GapCause::warp:
      return "warp";
    case GapCause::tight_dowel:
      break;
  }
  return "tight-dowel";
}

std::vector<RankedCause> gap_causes(const CoreBox& box, const PartingGap& gap) {
  if (!gap.growth) return {};
  double free_most = 0;
  for (const GapReading& reading : box.gap_readings)
    free_most = std::max(free_most, reading.unclamped_mm.value_or(0));
  const double limit = box.limits.gap_mm;
  if (gap.growth->max_mm <= limit && free_most <= limit) return {};
  const Shape shape = shape_of(box, gap);
  const double stays = 1 - shape.closed;
  const bool weak =
      !gap.clamps.clamps.empty() && gap.clamps.opening_N > 0 && gap.clamps.margin_low < sound_margin;
  std::vector<RankedCause> causes;
  const auto weigh = [&](GapCause cause, double weight, const char* text) {
    if (weight >= least_weight) causes.push_back({cause, std::min(weight, 1.0), text});
  };
  weigh(GapCause::weak_clamps,
        stays * ((weak ? 0.7 : 0.2) + 0.3 * shape.leans * weak_clamp_on_open_side(gap, shape)),
        "The clamps do not pull the face shut: check their torque, seat and wear first.");
  weigh(GapCause::dirt, 0.9 * shape.leans * std::max(stays, 0.3) * (1 - shape.all_round),
        "Open on one side and shut on the other: something hard lies on the face, sand, resin or a burr. "
        "Clean it, look "
        "along it, read again.");
  weigh(GapCause::damage, 0.7 * shape.all_round * stays,
        "Open all round and the clamps do not close it: the face is worn or struck, or the halves meet "
        "elsewhere first, "
        "at a loose piece or a stop.");
  weigh(GapCause::warp, std::max(shape.bends, 0.6 * shape.closed),
        shape.closed > 0.5
            ? "The clamps close most of it: a half is warped and springs, or soft dirt is pressed flat. "
              "It opens again when the box warms or a clamp slackens."
            : "The opening bends across the face: a half is warped.");
  if (tightest_clearance_mm(box) < tight_clearance_mm)
    weigh(GapCause::tight_dowel, 0.5 * shape.all_round * stays + 0.2,
          "A pin fills its bush: a dowel that binds holds the halves apart. Ease it and read again.");
  std::stable_sort(causes.begin(), causes.end(),
                   [](const RankedCause& a, const RankedCause& b) { return a.weight > b.weight; });
  return causes;
}

}  // namespace boxfettle
