// How far apart the halves are likely to stand at one place, not at worst but in a long run of closings.
#pragma once

#include <Eigen/Core>
#include <cstdint>

#include "closing/dowel_play.hpp"

namespace boxfettle {

// Where the upper half comes to rest within its play.
enum class Contact {
  anywhere,  // every allowed position is as likely as any other
  pushed     // from anywhere, slid in a random direction until a pin touches: a clamp that pulls to one side
};

struct LikelyShiftSettings {
  Contact contact = Contact::anywhere;
  int draws = 20'000;             // of positions; the 95 % point is then good to about 0.5 % of the worst
  std::uint64_t seed = 20260101;  // the same box gives the same figure every time
};

struct LikelyShift {
  double mean_mm = 0, p50_mm = 0, p95_mm = 0, p99_mm = 0;
  int draws = 0;  // positions that counted; fewer than asked when hardly any fit between the pins
};

// `play.held()` must hold. The turn is taken as small here (sin a = a), which is good to 1e-5 mm for any
// dowel.
LikelyShift likely_shift(const DowelPlay& play, const Eigen::Vector2d& place_mm,
                         const LikelyShiftSettings& settings = {});

}  // namespace boxfettle
