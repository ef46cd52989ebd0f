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
constexpr std::size_t few_places = 24;   // so few are all asked exactly
constexpr std::size_t even_choice = 64;  // places of an outline asked at first
constexpr std::size_t most_tops = 4;     // of them followed up
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

WorstShift DowelPlay::worst_between(const Vector2d& place_mm, double low_rad, double high_rad) const {
  const auto shift_at = [&](double angle) {
    const PlaySlice slice(pins_, angle);
    return std::pair(slice.empty() ? -1.0 : 0.0, HalfShift{slice.farthest_move_mm(place_mm), angle});
  };
  const auto far = [&](double angle) {
    const auto [none, shift] = shift_at(angle);
    return none < 0 ? none : shift.at(place_mm).norm();
  };
  const double angle = top_of(far, low_rad, high_rad);
  const HalfShift shift = shift_at(angle).second;
  return {far(angle), place_mm, shift};
}

WorstShift DowelPlay::worst_at(const Vector2d& place_mm) const {
  std::vector<double> far(slices_.size());
  WorstShift worst{0, place_mm, {}};
  for (std::size_t k = 0; k < slices_.size(); ++k) {
    const HalfShift shift{slices_[k].farthest_move_mm(place_mm), slices_[k].angle_rad()};
    far[k] = slices_[k].empty() ? -1 : shift.at(place_mm).norm();
    if (far[k] > worst.mm) worst = {far[k], place_mm, shift};
  }
  // Between two slices a top may stand higher than both, by no more than they differ from their neighbours.
  for (std::size_t k = 0; k < slices_.size(); ++k) {
    const std::size_t before = k > 0 ? k - 1 : 0, behind = std::min(k + 1, slices_.size() - 1);
    if (far[k] < far[before] || far[k] < far[behind]) continue;
    const double rise = std::max(far[k] - std::min(far[before], far[behind]), 0.02 * far[k]);
    if (far[k] + rise < worst.mm) continue;
    const WorstShift top = worst_between(place_mm, slices_[before].angle_rad(), slices_[behind].angle_rad());
    if (top.mm > worst.mm) worst = top;
  }
  return worst;
}

double DowelPlay::worst_of_slices_mm(const Vector2d& place_mm) const {
  double worst = 0;
  for (const PlaySlice& slice : slices_)
    worst =
        std::max(worst, HalfShift{slice.farthest_move_mm(place_mm), slice.angle_rad()}.at(place_mm).norm());
  return worst;
}

// Places to ask exactly: all of a few, else those that stand out among an even choice, the worst first.
std::vector<std::size_t> DowelPlay::promising_places(const std::vector<Vector2d>& hull_mm) const {
  std::vector<std::size_t> chosen, promising;
  if (hull_mm.size() <= few_places) {
    for (std::size_t i = 0; i < hull_mm.size(); ++i) promising.push_back(i);
    return promising;
  }
  const std::size_t stride = std::max<std::size_t>(hull_mm.size() / even_choice, 1);
  std::vector<double> far;
  for (std::size_t i = 0; i < hull_mm.size(); i += stride) {
    chosen.push_back(i);
    far.push_back(worst_of_slices_mm(hull_mm[i]));
  }
  const double farthest = *std::max_element(far.begin(), far.end());
  std::vector<std::size_t> order;
  for (std::size_t k = 0; k < far.size(); ++k) {
    const std::size_t before = (k + far.size() - 1) % far.size(), behind = (k + 1) % far.size();
    if (far[k] >= far[before] && far[k] >= far[behind] && far[k] > 0.97 * farthest) order.push_back(k);
  }
  std::sort(order.begin(), order.end(), [&](std::size_t p, std::size_t q) { return far[p] > far[q]; });
  for (std::size_t k = 0; k < std::min(order.size(), most_tops); ++k) promising.push_back(chosen[order[k]]);
  return promising;
}

std::optional<WorstShift> DowelPlay::worst_along(std::span<const Vector2d> places_mm) const {
  if (places_mm.empty()) return std::nullopt;
  // The worst shift is convex over the place, so it is reached at a corner of the places' convex outline.
  const std::vector<Vector2d> hull = convex_hull(places_mm);
  WorstShift worst{-1, hull.front(), {}};
  for (const std::size_t place : promising_places(hull)) {
    const WorstShift here = hull.size() <= few_places ? worst_at(hull[place]) : climbed(hull, place);
    if (here.mm > worst.mm) worst = here;
  }
  return worst;
}

// From one place of the hull along it, ever less far, while that makes the shift worse. The angle that does
// it hardly changes on the way.
WorstShift DowelPlay::climbed(const std::vector<Vector2d>& hull_mm, std::size_t from) const {
  const std::size_t count = hull_mm.size();
  WorstShift worst = worst_at(hull_mm[from]);
  std::size_t at = from;
  const double about = 0.05 * (angle_rad_.high - angle_rad_.low);
  for (std::size_t stride = std::max<std::size_t>(count / (2 * even_choice), 1); stride > 0;) {
    bool better = false;
    for (const std::size_t next : {(at + stride) % count, (at + count - stride) % count}) {
      const double angle = worst.shift.angle_rad;
      const WorstShift there = worst_between(hull_mm[next], std::max(angle - about, angle_rad_.low),
                                             std::min(angle + about, angle_rad_.high));
      if (there.mm <= worst.mm) continue;
      worst = there;
      at = next;
      better = true;
      break;
    }
    if (!better) stride /= 2;
  }
  return at == from ? worst : worst_at(worst.at_parting_mm);
}

}  // namespace boxfettle
