#include "closing/play_slice.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace boxfettle {
namespace {

using Eigen::Vector2d;

// A thousandth of a micrometre: far below any gauge, far above rounding.
constexpr double tolerance_mm = 1e-9;

Vector2d across(const Vector2d& axis) {
  return {-axis.y(), axis.x()};
}

template <class Take>
void where_circles_cross(const RoundEnd& p, const RoundEnd& q, const Take& take) {
  const Vector2d apart = q.centre_mm - p.centre_mm;
  const double distance = apart.norm();
  if (distance > p.radius_mm + q.radius_mm + tolerance_mm || distance == 0) return;
  if (distance < std::abs(p.radius_mm - q.radius_mm) - tolerance_mm) return;
  const double along =
      0.5 * (distance + (p.radius_mm - q.radius_mm) * (p.radius_mm + q.radius_mm) / distance);
  const double height = std::sqrt(std::max((p.radius_mm - along) * (p.radius_mm + along), 0.0));
  const Vector2d foot = p.centre_mm + along / distance * apart;
  take(foot + height / distance * across(apart));
  take(foot - height / distance * across(apart));
}

template <class Take>
void where_line_meets_circle(const StraightSide& line, const RoundEnd& circle, const Take& take) {
  const double along = line.along.dot(circle.centre_mm - line.through_mm);
  const Vector2d foot = line.through_mm + along * line.along;
  const double height2 = circle.radius_mm * circle.radius_mm - (circle.centre_mm - foot).squaredNorm();
  if (height2 < -tolerance_mm) return;
  const double height = std::sqrt(std::max(height2, 0.0));
  take(foot + height * line.along);
  take(foot - height * line.along);
}

template <class Take>
void where_lines_cross(const StraightSide& p, const StraightSide& q, const Take& take) {
  const double crossing = p.along.x() * q.along.y() - p.along.y() * q.along.x();
  if (std::abs(crossing) < 1e-12) return;
  const Vector2d apart = q.through_mm - p.through_mm;
  take(p.through_mm + (apart.x() * q.along.y() - apart.y() * q.along.x()) / crossing * p.along);
}

}  // namespace

std::vector<PinInBush> pins_in_bushes(std::span<const Dowel> dowels) {
  std::vector<PinInBush> pins;
  for (const Dowel& dowel : dowels) {
    PinInBush pin{dowel.at_parting_mm, dowel.bush_at_parting_mm.value_or(dowel.at_parting_mm),
                  0.5 * (dowel.bush_mm - dowel.pin_mm), dowel.slot_axis};
    if (dowel.kind == Dowel::Bush::slot)
      pin.reach_mm = dowel.slot_length_mm ? 0.5 * (*dowel.slot_length_mm - dowel.bush_mm) : endless_reach_mm;
    pins.push_back(pin);
  }
  return pins;
}

// cos - 1 = -2 sin^2(a / 2) keeps the digits at small angles.
Turn::Turn(double angle_rad)
    : sine_(std::sin(angle_rad)), cosine_less_one_(-2 * std::pow(std::sin(0.5 * angle_rad), 2)) {}

Vector2d Turn::at(const Vector2d& place_mm) const {
  return {cosine_less_one_ * place_mm.x() - sine_ * place_mm.y(),
          sine_ * place_mm.x() + cosine_less_one_ * place_mm.y()};
}

Vector2d HalfShift::at(const Vector2d& place_mm) const {
  return Turn(angle_rad).at(place_mm) + move_mm;
}

SlotLimit::Ends SlotLimit::ends() const {
  Ends ends;
  ends.push_back({middle_mm + reach_mm * axis, clearance_mm});
  if (reach_mm > 0) ends.push_back({middle_mm - reach_mm * axis, clearance_mm});
  return ends;
}

SlotLimit::Sides SlotLimit::sides() const {
  Sides sides;
  if (reach_mm == 0) return sides;
  sides.push_back({middle_mm + clearance_mm * across(axis), axis});
  sides.push_back({middle_mm - clearance_mm * across(axis), axis});
  return sides;
}

bool SlotLimit::holds(const Vector2d& move_mm, double tolerance) const {
  Vector2d off = move_mm - middle_mm;
  if (reach_mm > 0) off -= std::clamp(axis.dot(off), -reach_mm, reach_mm) * axis;
  return off.squaredNorm() <= (clearance_mm + tolerance) * (clearance_mm + tolerance);
}

PlaySlice::PlaySlice(std::span<const PinInBush> pins, double angle_rad, double extra_clearance_mm)
    : angle_rad_(angle_rad), turn_(angle_rad) {
  const Eigen::Rotation2Dd turned(angle_rad);
  for (const PinInBush& pin : pins) {
    const SlotLimit slot{pin.pin_mm - turned * pin.bush_mm, turned * pin.axis, pin.reach_mm,
                         pin.clearance_mm + extra_clearance_mm};
    slots_.push_back(slot);
    for (const RoundEnd& end : slot.ends()) discs_.push_back(end);
  }
  for (std::size_t i = 0; i < slots_.size(); ++i)
    for (std::size_t j = i + 1; j < slots_.size(); ++j) collect_corners(slots_[i], slots_[j]);
  // Limits whose borders nowhere meet: either one lies inside all others, or there is no room.
  empty_ = corners_mm_.empty() && std::none_of(slots_.begin(), slots_.end(), [&](const SlotLimit& slot) {
             return allowed(slot.middle_mm);
           });
}

bool PlaySlice::allowed(const Vector2d& move_mm) const {
  return std::all_of(slots_.begin(), slots_.end(),
                     [&](const SlotLimit& slot) { return slot.holds(move_mm, tolerance_mm); });
}

void PlaySlice::keep(const Vector2d& corner_mm) {
  if (allowed(corner_mm)) corners_mm_.push_back(corner_mm);
}

// Where the borders of two limits cross. Points on the straight sides' extension, or on the far side of a
// round end, fall away or stand inside; neither does harm.
void PlaySlice::collect_corners(const SlotLimit& a, const SlotLimit& b) {
  const auto take = [&](const Vector2d& corner) { keep(corner); };
  for (const RoundEnd& p : a.ends())
    for (const RoundEnd& q : b.ends()) where_circles_cross(p, q, take);
  for (const StraightSide& side : a.sides())
    for (const RoundEnd& end : b.ends()) where_line_meets_circle(side, end, take);
  for (const StraightSide& side : b.sides())
    for (const RoundEnd& end : a.ends()) where_line_meets_circle(side, end, take);
  for (const StraightSide& p : a.sides())
    for (const StraightSide& q : b.sides()) where_lines_cross(p, q, take);
}

Farthest PlaySlice::farthest(const Vector2d& place_mm) const {
  if (empty_) return {};
  const Vector2d turned_mm = turn_.at(place_mm);
  Vector2d best = Vector2d::Zero();
  double farthest = -1;
  const auto take = [&](const Vector2d& move) {
    const double far = (turned_mm + move).squaredNorm();
    if (far > farthest) {
      farthest = far;
      best = move;
    }
  };
  for (const Vector2d& corner : corners_mm_) take(corner);
  for (const RoundEnd& disc : discs_) {
    const Vector2d out = turned_mm + disc.centre_mm;
    const double length = out.norm();
    const Vector2d top =
        disc.centre_mm + disc.radius_mm * (length > 0 ? Vector2d(out / length) : Vector2d(1, 0));
    if ((turned_mm + top).squaredNorm() > farthest && allowed(top)) take(top);
  }
  return {best, std::sqrt(std::max(farthest, 0.0))};
}

Vector2d PlaySlice::move_along_mm(const Vector2d& direction) const {
  Vector2d best = Vector2d::Zero();
  double farthest = -std::numeric_limits<double>::infinity();
  const auto take = [&](const Vector2d& move) {
    if (direction.dot(move) > farthest) {
      farthest = direction.dot(move);
      best = move;
    }
  };
  for (const Vector2d& corner : corners_mm_) take(corner);
  for (const RoundEnd& disc : discs_) {
    const Vector2d top = disc.centre_mm + disc.radius_mm * direction;
    if (direction.dot(top) > farthest && allowed(top)) take(top);
  }
  return best;
}

}  // namespace boxfettle
