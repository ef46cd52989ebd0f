#include "closing/worst_search.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <queue>

namespace boxfettle {
namespace {

using Eigen::Vector2d;

constexpr double close_enough_mm = 1e-8;
constexpr int most_halvings = 40;
constexpr std::size_t first_groups = 64;

// Neighbouring places of the outline, [first, last); the one in the middle speaks for them.
struct Group {
  std::size_t first, last;
  double far_mm;  // no place of it is farther from the one in the middle

  std::size_t middle() const { return first + (last - first) / 2; }
  bool single() const { return last - first == 1; }
};

// How far a group's place goes at the ends and in the middle of a window of angles.
struct Seen {
  Group group;
  double low_mm, middle_mm, high_mm;

  double most_mm() const { return std::max({low_mm, middle_mm, high_mm}); }
  // A top between two looks rises no steeper than it falls on its other side, where the third look is: by no
  // more than the three differ.
  double rise_mm() const { return most_mm() - std::min({low_mm, middle_mm, high_mm}); }
};

struct Window {
  double low_rad, middle_rad, high_rad;
  int halvings;
  std::vector<Seen> seen;
  double may_reach_mm = 0;

  // Two places that stand 1 mm apart are taken at most this much farther one than the other: a turn by `a`
  // moves them so far against each other.
  double slope() const { return 2 * std::sin(0.5 * std::max(std::abs(low_rad), std::abs(high_rad))); }
  bool operator<(const Window& other) const { return may_reach_mm < other.may_reach_mm; }
};

class WorstSearch {
 public:
  WorstSearch(std::span<const PinInBush> pins, std::span<const Vector2d> outline_mm)
      : pins_(pins), outline_mm_(outline_mm), worst_{0, outline_mm.front(), {}} {
    for (std::size_t i = 1; i < outline_mm.size(); ++i)
      along_mm_.push_back(along_mm_.back() + (outline_mm[i] - outline_mm[i - 1]).norm());
  }

  WorstShift over(std::span<const PlaySlice> slices) {
    for (std::size_t k = 0; k + 2 < slices.size(); k += 2)
      keep(first_window(slices[k], slices[k + 1], slices[k + 2]));
    while (!open_.empty() && may_be_worse(open_.top().may_reach_mm)) {
      Window window = open_.top();
      open_.pop();
      if (window.halvings < most_halvings) halve(parted(std::move(window)));
    }
    return worst_;
  }

 private:
  bool may_be_worse(double mm) const { return mm > worst_.mm + close_enough_mm; }

  double look(const PlaySlice& slice, std::size_t place) {
    const Farthest far = slice.farthest(outline_mm_[place]);
    if (far.mm > worst_.mm) worst_ = {far.mm, outline_mm_[place], {far.move_mm, slice.angle_rad()}};
    return far.mm;
  }

  Group group(std::size_t first, std::size_t last) const {
    Group made{first, last, 0};
    made.far_mm =
        std::max(along_mm_[made.middle()] - along_mm_[first], along_mm_[last - 1] - along_mm_[made.middle()]);
    return made;
  }

  Seen seen_in(const Group& part, const PlaySlice& low, const PlaySlice& middle, const PlaySlice& high) {
    const std::size_t place = part.middle();
    return {part, look(low, place), look(middle, place), look(high, place)};
  }

  Window first_window(const PlaySlice& low, const PlaySlice& middle, const PlaySlice& high) {
    Window window{low.angle_rad(), middle.angle_rad(), high.angle_rad(), 0, {}};
    const std::size_t count = outline_mm_.size(), groups = std::min(count, first_groups);
    for (std::size_t k = 0; k < groups; ++k)
      window.seen.push_back(seen_in(group(k * count / groups, (k + 1) * count / groups), low, middle, high));
    return window;
  }

  // The window without what cannot be worse, and with groups parted that may reach farther for their breadth
  // than for the window's.
  Window parted(Window window) {
    std::vector<Seen> left;
    left.swap(window.seen);
    std::optional<std::array<PlaySlice, 3>> slices;
    while (!left.empty()) {
      const Seen seen = left.back();
      left.pop_back();
      const double breadth = window.slope() * seen.group.far_mm;
      if (!may_be_worse(seen.most_mm() + seen.rise_mm() + breadth)) continue;
      if (seen.group.single() || breadth < seen.rise_mm()) {
        window.seen.push_back(seen);
        continue;
      }
      if (!slices)
        slices = {PlaySlice(pins_, window.low_rad), PlaySlice(pins_, window.middle_rad),
                  PlaySlice(pins_, window.high_rad)};
      const std::size_t cut = seen.group.middle();
      for (const Group& part : {group(seen.group.first, cut), group(cut, seen.group.last)})
        left.push_back(seen_in(part, (*slices)[0], (*slices)[1], (*slices)[2]));
    }
    return window;
  }

  void halve(const Window& window) {
    const PlaySlice lower(pins_, 0.5 * (window.low_rad + window.middle_rad));
    const PlaySlice upper(pins_, 0.5 * (window.middle_rad + window.high_rad));
    Window below{window.low_rad, lower.angle_rad(), window.middle_rad, window.halvings + 1, {}};
    Window above{window.middle_rad, upper.angle_rad(), window.high_rad, window.halvings + 1, {}};
    for (const Seen& seen : window.seen) {
      const std::size_t place = seen.group.middle();
      below.seen.push_back({seen.group, seen.low_mm, look(lower, place), seen.middle_mm});
      above.seen.push_back({seen.group, seen.middle_mm, look(upper, place), seen.high_mm});
    }
    keep(std::move(below));
    keep(std::move(above));
  }

  void keep(Window window) {
    for (const Seen& seen : window.seen)
      window.may_reach_mm =
          std::max(window.may_reach_mm, seen.most_mm() + seen.rise_mm() + window.slope() * seen.group.far_mm);
    if (may_be_worse(window.may_reach_mm)) open_.push(std::move(window));
  }

  std::span<const PinInBush> pins_;
  std::span<const Vector2d> outline_mm_;
  std::vector<double> along_mm_ = {0};  // the outline's length up to each place
  WorstShift worst_;
  std::priority_queue<Window> open_;  // the window that may reach farthest first
};

}  // namespace

WorstShift worst_shift(std::span<const PinInBush> pins, std::span<const PlaySlice> slices,
                       std::span<const Vector2d> outline_mm) {
  return WorstSearch(pins, outline_mm).over(slices);
}

}  // namespace boxfettle
