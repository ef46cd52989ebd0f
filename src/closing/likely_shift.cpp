#include "closing/likely_shift.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace boxfettle {
namespace {

using Eigen::Vector2d;

// splitmix64: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA
// 2014.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed) {}
  std::uint64_t word() {
    std::uint64_t z = (state_ += 0x9e3779b97f4a7c15U);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
    return z ^ (z >> 31);
  }

 private:
  std::uint64_t state_;
};

Vector2d quarter_turned(const Vector2d& v) {
  return {-v.y(), v.x()};
}

// One pin's limit, seen from the dowels' middle: off = move + angle * lever - apart must lie within the slot.
struct Limit {
  Vector2d lever, apart, axis;
  double reach, clearance, clearance2;

  Vector2d off(const Vector2d& move, double angle) const { return move + angle * lever - apart; }
  bool allows(const Vector2d& move, double angle) const {
    Vector2d d = off(move, angle);
    if (reach > 0) d -= std::clamp(axis.dot(d), -reach, reach) * axis;
    return d.squaredNorm() <= clearance2;
  }
  // How far one may slide along a unit direction from an allowed position.
  double free_path(const Vector2d& d, const Vector2d& direction) const {
    const auto to_disc = [&](const Vector2d& from) {
      const double along = from.dot(direction);
      return -along + std::sqrt(std::max(along * along - from.squaredNorm() + clearance2, 0.0));
    };
    if (reach == 0) return to_disc(d);
    const double across = quarter_turned(axis).dot(direction), along = axis.dot(direction);
    if (std::abs(across) > 1e-12) {
      const double side = across > 0 ? clearance : -clearance;
      const double path = (side - quarter_turned(axis).dot(d)) / across;
      if (std::abs(axis.dot(d) + path * along) <= reach) return path;
    }
    return to_disc(d - (along > 0 ? reach : -reach) * axis);
  }
};

struct Room {
  std::vector<Limit> limits;
  Vector2d middle;     // of the dowels
  Vector2d low, high;  // of the move, taken at the dowels' middle
  double low_rad, high_rad;
};

Room room_of(const DowelPlay& play) {
  Room room;
  room.middle = Vector2d::Zero();
  for (const PinInBush& pin : play.pins())
    room.middle += pin.bush_mm / static_cast<double>(play.pins().size());
  for (const PinInBush& pin : play.pins())
    room.limits.push_back({quarter_turned(pin.bush_mm - room.middle), pin.pin_mm - pin.bush_mm, pin.axis,
                           pin.reach_mm, pin.clearance_mm, pin.clearance_mm * pin.clearance_mm});
  room.low_rad = play.angle_rad().low;
  room.high_rad = play.angle_rad().high;
  room.low = Vector2d::Constant(1e300);
  room.high = Vector2d::Constant(-1e300);
  constexpr int steps = 40;
  for (int k = 0; k <= steps; ++k) {
    const double angle = room.low_rad + k * (room.high_rad - room.low_rad) / steps;
    const PlaySlice slice(play.pins(), angle);
    if (slice.empty()) continue;
    const Vector2d turned = angle * quarter_turned(room.middle);
    for (const Vector2d& d : {Vector2d(1, 0), Vector2d(-1, 0), Vector2d(0, 1), Vector2d(0, -1)}) {
      const Vector2d move = slice.move_along_mm(d) + turned;
      room.low = room.low.cwiseMin(move);
      room.high = room.high.cwiseMax(move);
    }
  }
  const Vector2d margin = 0.01 * (room.high - room.low);  // between two steps the room may be a little wider
  room.low -= margin;
  room.high += margin;
  return room;
}

// Shares of draws by size, fine enough that the steps do not show: 1/32768 of the largest.
class Sizes {
 public:
  explicit Sizes(double largest) : scale_(bins / std::max(largest, 1e-12)), counts_(bins + 1, 0) {}
  void take(double size) { ++counts_[static_cast<std::size_t>(std::min(size * scale_, double{bins}))]; }
  double below_which(double share, int draws) const {
    const double wanted = share * draws;
    double counted = 0;
    for (std::size_t i = 0; i < counts_.size(); ++i) {
      counted += counts_[i];
      if (counted >= wanted) return (static_cast<double>(i) + 0.5) / scale_;
    }
    return bins / scale_;
  }

 private:
  static constexpr int bins = 32768;
  double scale_;
  std::vector<int> counts_;
};

class Directions {
 public:
  Directions() {
    for (std::size_t k = 0; k < all_.size(); ++k) {
      const double angle = 2 * std::numbers::pi * static_cast<double>(k) / static_cast<double>(all_.size());
      all_[k] = {std::cos(angle), std::sin(angle)};
    }
  }
  const Vector2d& drawn(std::uint64_t word) const { return all_[word % all_.size()]; }

 private:
  std::array<Vector2d, 4096> all_;
};

}  // namespace

LikelyShift likely_shift(const DowelPlay& play, const Vector2d& place_mm,
                         const LikelyShiftSettings& settings) {
  const Room room = room_of(play);
  const Vector2d lever = quarter_turned(place_mm - room.middle);
  const Vector2d size = room.high - room.low;
  const double turn = room.high_rad - room.low_rad;
  Sizes sizes(play.worst_at(place_mm).mm * 1.001);
  Dice dice(settings.seed);
  static const Directions directions;
  constexpr double step = 1.0 / (1 << 21);  // three numbers of 21 bits from one word
  constexpr std::uint64_t mask = (1 << 21) - 1;
  const long most_tries = 200L * settings.draws;
  int draws = 0;
  double sum = 0;
  for (long tries = 0; tries < most_tries && draws < settings.draws; ++tries) {
    const std::uint64_t word = dice.word();
    const double angle = room.low_rad + turn * step * static_cast<double>(word & mask);
    Vector2d move{room.low.x() + size.x() * step * static_cast<double>(word >> 21 & mask),
                  room.low.y() + size.y() * step * static_cast<double>(word >> 42 & mask)};
    bool allowed = true;
    for (const Limit& limit : room.limits) allowed = allowed && limit.allows(move, angle);
    if (!allowed) continue;
    if (settings.contact == Contact::pushed) {
      const Vector2d& direction = directions.drawn(dice.word());
      double path = 1e300;
      for (const Limit& limit : room.limits)
        path = std::min(path, limit.free_path(limit.off(move, angle), direction));
      move += path * direction;
    }
    const double shift = (move + angle * lever).norm();
    sizes.take(shift);
    sum += shift;
    ++draws;
  }
  if (draws == 0) {  // no play at all: the one position there is
    const double only = play.worst_at(place_mm).mm;
    return {only, only, only, only, 0};
  }
  return {sum / draws, sizes.below_which(0.50, draws), sizes.below_which(0.95, draws),
          sizes.below_which(0.99, draws), draws};
}

}  // namespace boxfettle
