// The arc tangent to 2e-5 rad, for sorting angles into steps: many times quicker than the library's.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

namespace boxfettle {

// As std::atan2(y, x). An odd polynomial fitted to the arc tangent on 0..1, turned into the right octant.
inline float quick_angle(float y, float x) {
  constexpr auto pi = std::numbers::pi_v<float>;
  const float across = std::abs(y), along = std::abs(x);
  const float high = std::max(across, along);
  const float t = high > 0 ? std::min(across, along) / high : 0.0f, s = t * t;
  const float arc =
      t *
      (0.99997726f +
       s * (-0.33262347f + s * (0.19354346f + s * (-0.11643287f + s * (0.05265332f - s * 0.01172120f)))));
  const float first_quadrant = across > along ? pi / 2 - arc : arc;
  return std::copysign(x < 0 ? pi - first_quadrant : first_quadrant, y);
}

}  // namespace boxfettle
