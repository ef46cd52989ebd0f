// The shifts of the upper half that its dowels allow at one angle of rotation: an intersection of discs and
// slots, exact.
#pragma once

#include <Eigen/Core>
#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "corebox/core_box.hpp"

namespace boxfettle {

// One pin in its bush, as the play sees it. In the parting face's own axes.
struct PinInBush {
  Eigen::Vector2d pin_mm;   // in the lower half
  Eigen::Vector2d bush_mm;  // in the upper half; a slot's middle
  double clearance_mm;      // radial: half of bush less pin; across the slot for a slotted bush
  Eigen::Vector2d axis;     // unit, a slot's free direction
  double reach_mm = 0;      // how far the pin may leave the slot's middle along its axis; 0 for a round bush
};
std::vector<PinInBush> pins_in_bushes(std::span<const Dowel> dowels);

// A slot without an end is given one so far away that whoever gets near it knows that nothing holds.
inline constexpr double endless_reach_mm = 1000;

// A shift of the upper half over the lower: turned about the face's own origin, then moved.
struct HalfShift {
  Eigen::Vector2d move_mm = {0, 0};
  double angle_rad = 0;
  Eigen::Vector2d at(const Eigen::Vector2d& place_mm) const;  // how far what stood there has gone
};

struct RoundEnd {
  Eigen::Vector2d centre_mm;
  double radius_mm;
};
struct StraightSide {
  Eigen::Vector2d through_mm, along;
};

// None, one or two of something, without a trip to the heap: a slice is cut many thousand times.
template <typename Part>
class UpToTwo {
 public:
  void push_back(const Part& part) { parts_[count_++] = part; }
  const Part* begin() const { return parts_.data(); }
  const Part* end() const { return parts_.data() + count_; }

 private:
  std::array<Part, 2> parts_;
  std::size_t count_ = 0;
};

// Where one pin and its bush let the upper half move to: a slot with round ends; a round bush is one without
// reach.
struct SlotLimit {
  Eigen::Vector2d middle_mm, axis;
  double reach_mm, clearance_mm;

  using Ends = UpToTwo<RoundEnd>;
  using Sides = UpToTwo<StraightSide>;
  Ends ends() const;
  Sides sides() const;
  bool holds(const Eigen::Vector2d& move_mm, double tolerance_mm) const;
};

// A turn, and how far it takes what stood at a place: one sine for many places.
class Turn {
 public:
  explicit Turn(double angle_rad);
  Eigen::Vector2d at(const Eigen::Vector2d& place_mm) const;

 private:
  double sine_, cosine_less_one_;
};

struct Farthest {
  Eigen::Vector2d move_mm = {0, 0};
  double mm = 0;
};

class PlaySlice {
 public:
  PlaySlice(std::span<const PinInBush> pins, double angle_rad, double extra_clearance_mm = 0);

  bool empty() const { return empty_; }
  double angle_rad() const { return angle_rad_; }
  // Corners where two limits meet; none when one bush alone limits.
  const std::vector<Eigen::Vector2d>& corners_mm() const { return corners_mm_; }

  // The allowed move that takes what stood at `place_mm` farthest, and how far, the turn included; of an
  // empty slice, no move and nought.
  Farthest farthest(const Eigen::Vector2d& place_mm) const;
  // The allowed move that goes farthest along a unit direction.
  Eigen::Vector2d move_along_mm(const Eigen::Vector2d& direction) const;

 private:
  bool allowed(const Eigen::Vector2d& move_mm) const;
  void collect_corners(const SlotLimit& a, const SlotLimit& b);
  void keep(const Eigen::Vector2d& corner_mm);

  double angle_rad_;
  Turn turn_;
  bool empty_ = false;
  std::vector<SlotLimit> slots_;
  std::vector<RoundEnd> discs_;  // the round ends of the slots
  std::vector<Eigen::Vector2d> corners_mm_;
};

}  // namespace boxfettle
