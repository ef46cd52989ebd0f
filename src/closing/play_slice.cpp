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

Vector2d HalfShift::at(const Vector2d& place_mm) const {
  // cos - 1 = -2 sin^2(a / 2) keeps the digits at small angles.
  const double s = std::sin(angle_rad), half = std::sin(0.5 * angle_rad), c = -2 * half * half;
  return {c * place_mm.x() - s * place_mm.y() + move_mm.x(),
          s * place_mm.x() + c * place_mm.y() + move_mm.y()};
}

bool PlaySlice::Slot::holds(const Vector2d& move_mm, double tolerance) const {
  Vector2d off = move_mm - middle_mm;
  if (reach_mm > 0) off -= std::clamp(axis.dot(off), -reach_mm, reach_mm) * axis;
  return off.squaredNorm() <= (clearance_mm + tolerance) * (clearance_mm + tolerance);
}

PlaySlice::PlaySlice(std::span<const PinInBush> pins, double angle_rad, double extra_clearance_mm)
    : angle_rad_(angle_rad) {
  const Eigen::Rotation2Dd turned(angle_rad);
  for (const PinInBush& pin : pins) {
    const Slot slot{pin.pin_mm - turned * pin.bush_mm, turned * pin.axis, pin.reach_mm,
                    pin.clearance_mm + extra_clearance_mm};
    slots_.push_back(slot);
    if (slot.reach_mm > 0) {
      discs_.push_back({slot.middle_mm + slot.reach_mm * slot.axis, slot.clearance_mm});
      discs_.push_back({slot.middle_mm - slot.reach_mm * slot.axis, slot.clearance_mm});
    } else {
      discs_.push_back({slot.middle_mm, slot.clearance_mm});
    }
  }
  for (std::size_t i = 0; i < slots_.size(); ++i)
    for (std::size_t j = i + 1; j < slots_.size(); ++j) collect_corners(slots_[i], slots_[j]);
  // Limits whose borders nowhere meet: either one lies inside all others, or there is no room.
  empty_ = corners_mm_.empty() && std::none_of(slots_.begin(), slots_.end(),
                                               [&](const Slot& slot) { return allowed(slot.middle_mm); });
}

bool PlaySlice::allowed(const Vector2d& move_mm) const {
  return std::all_of(slots_.begin(), slots_.end(),
                     [&](const Slot& slot) { return slot.holds(move_mm, tolerance_mm); });
}

void PlaySlice::keep(const Vector2d& corner_mm) {
  if (allowed(corner_mm)) corners_mm_.push_back(corner_mm);
}

// Where the borders of two limits cross. Points on the straight sides' extension, or on the far side of a
// round end, fall away or stand inside; neither does harm.
void PlaySlice::collect_corners(const Slot& a, const Slot& b) {
  struct Line {
    Vector2d through, along;
  };
  const auto ends = [](const Slot& slot, std::array<Disc, 2>& discs) {
    discs = {Disc{slot.middle_mm + slot.reach_mm * slot.axis, slot.clearance_mm},
             Disc{slot.middle_mm - slot.reach_mm * slot.axis, slot.clearance_mm}};
    return slot.reach_mm > 0 ? 2 : 1;
  };
  const auto side = [](const Slot& slot, int which) {
    return Line{slot.middle_mm + (which == 0 ? 1 : -1) * slot.clearance_mm * across(slot.axis), slot.axis};
  };
  const auto disc_with_disc = [&](const Disc& p, const Disc& q) {
    const Vector2d apart = q.centre_mm - p.centre_mm;
    const double distance = apart.norm();
    if (distance > p.radius_mm + q.radius_mm + tolerance_mm || distance == 0) return;
    if (distance < std::abs(p.radius_mm - q.radius_mm) - tolerance_mm) return;
    const double along =
        0.5 * (distance + (p.radius_mm - q.radius_mm) * (p.radius_mm + q.radius_mm) / distance);
    const double height = std::sqrt(std::max((p.radius_mm - along) * (p.radius_mm + along), 0.0));
    const Vector2d foot = p.centre_mm + along / distance * apart;
    keep(foot + height / distance * across(apart));
    keep(foot - height / distance * across(apart));
  };
  const auto line_with_disc = [&](const Line& line, const Disc& disc) {
    const double along = line.along.dot(disc.centre_mm - line.through);
    const Vector2d foot = line.through + along * line.along;
    const double height2 = disc.radius_mm * disc.radius_mm - (disc.centre_mm - foot).squaredNorm();
    if (height2 < -tolerance_mm) return;
    const double height = std::sqrt(std::max(height2, 0.0));
    keep(foot + height * line.along);
    keep(foot - height * line.along);
  };
  const auto line_with_line = [&](const Line& p, const Line& q) {
    const double crossing = p.along.x() * q.along.y() - p.along.y() * q.along.x();
    if (std::abs(crossing) < 1e-12) return;
    const Vector2d apart = q.through - p.through;
    keep(p.through + (apart.x() * q.along.y() - apart.y() * q.along.x()) / crossing * p.along);
  };
  std::array<Disc, 2> discs_a, discs_b;
  const int count_a = ends(a, discs_a), count_b = ends(b, discs_b);
  for (int i = 0; i < count_a; ++i)
    for (int j = 0; j < count_b; ++j)
      disc_with_disc(discs_a[static_cast<std::size_t>(i)], discs_b[static_cast<std::size_t>(j)]);
  for (int s = 0; s < 2; ++s) {
    if (a.reach_mm > 0)
      for (int j = 0; j < count_b; ++j) line_with_disc(side(a, s), discs_b[static_cast<std::size_t>(j)]);
    if (b.reach_mm > 0)
      for (int i = 0; i < count_a; ++i) line_with_disc(side(b, s), discs_a[static_cast<std::size_t>(i)]);
    if (a.reach_mm > 0 && b.reach_mm > 0)
      for (int r = 0; r < 2; ++r) line_with_line(side(a, s), side(b, r));
  }
}

Vector2d PlaySlice::farthest_move_mm(const Vector2d& place_mm) const {
  const Vector2d turned_mm = HalfShift{{0, 0}, angle_rad_}.at(place_mm);
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
  for (const Disc& disc : discs_) {
    const Vector2d out = turned_mm + disc.centre_mm;
    const double length = out.norm();
    const Vector2d top =
        disc.centre_mm + disc.radius_mm * (length > 0 ? Vector2d(out / length) : Vector2d(1, 0));
    if ((turned_mm + top).squaredNorm() > farthest && allowed(top)) take(top);
  }
  return best;
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
  for (const Disc& disc : discs_) {
    const Vector2d top = disc.centre_mm + disc.radius_mm * direction;
    if (direction.dot(top) > farthest && allowed(top)) take(top);
  }
  return best;
}

}  // namespace boxfettle
