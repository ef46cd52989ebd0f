// How far the upper half of a box may stand off the lower: every shift and turn that pins and bushes allow.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <vector>

#include "closing/play_slice.hpp"
#include "closing/worst_search.hpp"
#include "corebox/core_box.hpp"

namespace boxfettle {

struct Span {
  double low = 0, high = 0;
};

// Exact for circles and slots: nothing is made linear. The pins stand square to the face. Costly to set up
// (some 50 microseconds), quick to ask. docs/how/dowel-play.md
class DowelPlay {
 public:
  // At least one dowel.
  explicit DowelPlay(std::span<const Dowel> dowels);

  // Whether every pin enters its bush in some position. When not, nothing below is told but interference_mm.
  bool assembles() const { return assembles_; }
  double interference_mm() const { return interference_mm_; }  // by how much each clearance is short, at best

  // Whether the dowels hold the half against turning and sliding at all: one pin cannot, nor two slots that
  // lie alike. Worst shifts and spans are told only then.
  bool held() const { return assembles_ && !turns_freely_ && !slides_along_; }
  bool turns_freely() const { return turns_freely_; }
  std::optional<Eigen::Vector2d> slides_along() const { return slides_along_; }  // unit, in the face

  // Spans of shift of the face's own origin, and of rotation.
  Span x_mm() const { return x_mm_; }
  Span y_mm() const { return y_mm_; }
  Span angle_rad() const { return angle_rad_; }

  WorstShift worst_at(const Eigen::Vector2d& place_mm) const;
  // Over all places; empty without places.
  std::optional<WorstShift> worst_along(std::span<const Eigen::Vector2d> places_mm) const;

  std::span<const PinInBush> pins() const { return pins_; }

 private:
  void find_angles(double inside_rad);
  std::optional<double> allowed_angle_rad();
  void find_spans();

  std::vector<PinInBush> pins_;
  bool assembles_ = false;
  double interference_mm_ = 0;
  bool turns_freely_ = false;
  std::optional<Eigen::Vector2d> slides_along_;
  Span x_mm_, y_mm_, angle_rad_;
  std::vector<PlaySlice> slices_;  // through the whole span of angles, closer at its ends
};

}  // namespace boxfettle
