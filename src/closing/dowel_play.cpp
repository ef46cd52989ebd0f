#include "closing/dowel_play.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include "closing/convex_hull.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;

constexpr int slice_count = 41;
// Beyond these nothing that a person would call a dowel holds the half.
constexpr double free_angle_rad = 0.1;
constexpr double free_slide_mm = 50;
constexpr double golden = 0.6180339887498949;

// Largest value of a function with one top between `low` and `high`; returns where.
double top_of(const std::function<double(double)>& height, double low, double high) {
  double a = low, b = high;
  double c = b - golden * (b - a), d = a + golden * (b - a);
  double at_c = height(c), at_d = height(d);
  // 36 steps leave 3e-8 of the span, and at a top the height is flat: far below a nanometre.
  for (int step = 0; step < 36; ++step) {
    if (at_c > at_d) {
      b = d;
      d = c;
      at_d = at_c;
      c = b - golden * (b - a);
      at_c = height(c);
    } else {
      a = c;
      c = d;
      at_c = at_d;
      d = a + golden * (b - a);
      at_d = height(d);
    }
  }
  return at_c > at_d ? c : d;
}

// How much more clearance (radial) all bushes would need at this angle.
double missing_clearance_mm(std::span<const PinInBush> pins, double angle_rad) {
  double low = 0, high = 1e-3;
  while (PlaySlice(pins, angle_rad, high).empty() && high < 1e3) high *= 2;
  for (int step = 0; step < 40; ++step) {
    const double middle = 0.5 * (low + high);
    (PlaySlice(pins, angle_rad, middle).empty() ? low : high) = middle;
  }
  return high;
}

// The turn that lays the bushes' pattern best onto the pins' (least squares).
double pattern_turn_rad(std::span<const PinInBush> pins) {
  Vector2d pin_middle = Vector2d::Zero(), bush_middle = Vector2d::Zero();
  for (const PinInBush& pin : pins) {
    pin_middle += pin.pin_mm / static_cast<double>(pins.size());
    bush_middle += pin.bush_mm / static_cast<double>(pins.size());
  }
  double sine = 0, cosine = 0;
  for (const PinInBush& pin : pins) {
    const Vector2d p = pin.pin_mm - pin_middle, b = pin.bush_mm - bush_middle;
    sine += b.x() * p.y() - b.y() * p.x();
    cosine += b.dot(p);
  }
  return std::atan2(sine, cosine);
}

}  // namespace

DowelPlay::DowelPlay(std::span<const Dowel> dowels) : pins_(pins_in_bushes(dowels)) {
  const auto inside = allowed_angle_rad();
  if (!inside) return;
  assembles_ = true;
  find_angles(*inside);
  find_spans();
}

std::optional<double> DowelPlay::allowed_angle_rad() {
  for (const double angle : {0.0, pattern_turn_rad(pins_)})
    if (!PlaySlice(pins_, angle).empty()) return angle;
  // What is missing is convex over the angle, but for terms of second order.
  const double best = top_of([&](double angle) { return -missing_clearance_mm(pins_, angle); },
                             -free_angle_rad, free_angle_rad);
  if (!PlaySlice(pins_, best).empty()) return best;
  interference_mm_ = missing_clearance_mm(pins_, best);
  return std::nullopt;
}

void DowelPlay::find_angles(double inside_rad) {
  const auto end_towards = [&](double sign) {
    double inside = 0, step = 1e-6;
    while (step < free_angle_rad && !PlaySlice(pins_, inside_rad + sign * step).empty()) {
      inside = step;
      step *= 2;
    }
    if (step >= free_angle_rad) return inside_rad + sign * free_angle_rad;
    double outside = step;
    for (int halving = 0; halving < 44; ++halving) {
      const double middle = 0.5 * (inside + outside);
      (PlaySlice(pins_, inside_rad + sign * middle).empty() ? outside : inside) = middle;
    }
    return inside_rad + sign * inside;
  };
  angle_rad_ = {end_towards(-1), end_towards(1)};
  turns_freely_ = angle_rad_.high - angle_rad_.low >= free_angle_rad;
  // Close together at the ends, where the room shrinks quickest.
  for (int k = 0; k < slice_count; ++k) {
    const double share = 0.5 * (1 - std::cos(std::numbers::pi * k / (slice_count - 1)));
    slices_.emplace_back(pins_, angle_rad_.low + share * (angle_rad_.high - angle_rad_.low));
  }
}

void DowelPlay::find_spans() {
  const auto farthest = [&](const Vector2d& direction) {
    const auto along = [&](const PlaySlice& slice) {
      return slice.empty() ? -1e300 : direction.dot(slice.move_along_mm(direction));
    };
    std::size_t best = 0;
    for (std::size_t k = 1; k < slices_.size(); ++k)
      if (along(slices_[k]) > along(slices_[best])) best = k;
    const double low = slices_[best > 0 ? best - 1 : 0].angle_rad();
    const double high = slices_[std::min(best + 1, slices_.size() - 1)].angle_rad();
    const double at = top_of([&](double angle) { return along(PlaySlice(pins_, angle)); }, low, high);
    return std::max(along(PlaySlice(pins_, at)), along(slices_[best]));
  };
  x_mm_ = {-farthest({-1, 0}), farthest({1, 0})};
  y_mm_ = {-farthest({0, -1}), farthest({0, 1})};
  if (std::max(x_mm_.high - x_mm_.low, y_mm_.high - y_mm_.low) < free_slide_mm) return;
  for (const PinInBush& pin : pins_)
    if (pin.reach_mm >= free_slide_mm) slides_along_ = pin.axis;
}

WorstShift DowelPlay::worst_at(const Vector2d& place_mm) const {
  return worst_shift(pins_, slices_, {&place_mm, 1});
}

std::optional<WorstShift> DowelPlay::worst_along(std::span<const Vector2d> places_mm) const {
  if (places_mm.empty()) return std::nullopt;
  // At any one angle the shift is convex over the place: it is worst at a corner of the places' convex
  // outline.
  return worst_shift(pins_, slices_, convex_hull(places_mm));
}

}  // namespace boxfettle
