// How a box closes against answers that can be had on paper.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "closing/dowel_play.hpp"
#include "closing/likely_shift.hpp"
#include "closing/parting_gap.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using std::numbers::pi;

std::vector<Dowel> two_equal_pins(double pitch_mm, double clearance_mm) {
  const auto pin = [&](double x) {
    return Dowel{"D", {x, 0}, 12, 12 + clearance_mm, Dowel::Bush::round, {1, 0}, {}, {}};
  };
  return {pin(-pitch_mm / 2), pin(pitch_mm / 2)};
}

// Two equal round pins with radial clearance c, any position as likely as any other: midway between them the
// shift is the move t alone. With the bushes turned d across (0 <= d <= c), t lies in the lens shared by two
// discs of radius c whose centres are 2 d apart; in polar coordinates r <= sqrt(c^2 - d^2 cos^2 a) - d sin a.
// Integrating r^3 / 3 over r^2 / 2, with the moments of the complete elliptic integrals (int K dk = 2 G, int
// E dk = G + 1/2), gives
//   mean shift = 3/16 (1 + 2 G) c = 0.53099 c,  G Catalan's constant,
// and integrating r^2 within a radius gives the shares. Derived for this test; the moments are in I. S.
// Gradshteyn and I. M. Ryzhik, "Table of Integrals, Series, and Products", 6.141 (from memory).
TEST(LikelyShift, MidwayBetweenTwoEqualPinsHasItsMeanInClosedForm) {
  constexpr double catalan = 0.915965594177219;
  const double c = 0.025;
  const DowelPlay play(two_equal_pins(280, 2 * c));
  const LikelyShift likely = likely_shift(play, {0, 0}, {.draws = 1'000'000});
  EXPECT_EQ(likely.draws, 1'000'000);
  // A million draws of standard deviation 0.23 c: five standard errors of the mean are 0.0012 c.
  EXPECT_NEAR(likely.mean_mm, 3.0 / 16 * (1 + 2 * catalan) * c, 0.0012 * c);
}

// The same by a fine sum over lens and radius instead of drawing: shares of shifts within r.
TEST(LikelyShift, MidwayBetweenTwoEqualPinsIsThatOfTheSharedLens) {
  const double c = 0.025;
  // t = r (cos a, sin a) is allowed up to d = sqrt(c^2 - r^2 cos^2 a) - r sin a.
  const auto room_at = [&](double r) {
    double sum = 0;
    constexpr int steps = 2000;
    for (int k = 0; k < steps; ++k) {
      const double a = (k + 0.5) * pi / 2 / steps;
      sum += std::sqrt(c * c - r * r * std::cos(a) * std::cos(a)) - r * std::sin(a);
    }
    return r * sum / steps;
  };
  constexpr int steps = 4000;
  std::vector<double> within{0};
  for (int i = 0; i < steps; ++i) within.push_back(within.back() + room_at((i + 0.5) * c / steps));
  const auto at_share = [&](double share) {
    const auto found = std::lower_bound(within.begin(), within.end(), share * within.back());
    return static_cast<double>(found - within.begin()) * c / steps;
  };
  const LikelyShift likely =
      likely_shift(DowelPlay(two_equal_pins(280, 2 * c)), {0, 0}, {.draws = 1'000'000});
  // A million draws scatter by about a thousandth of the clearance at these shares.
  EXPECT_NEAR(likely.p50_mm, at_share(0.50), 0.003 * c);
  EXPECT_NEAR(likely.p95_mm, at_share(0.95), 0.003 * c);
  EXPECT_NEAR(likely.p99_mm, at_share(0.99), 0.003 * c);
}

// On the pins' line, x from the middle, the worst of two equal pins is c along the line (turned or not), and
// by turning to the end 2 c x / pitch across it, whichever is more.
TEST(DowelPlay, OfTwoEqualPinsGrowsInProportionOutsideThem) {
  const double c = 0.05, pitch = 300;
  const DowelPlay play(two_equal_pins(pitch, 2 * c));
  for (const double x : {0.0, 75.0, 150.0, 225.0, 450.0})
    EXPECT_NEAR(play.worst_at({x, 0}).mm, std::max(c, 2 * c * x / pitch), 2e-7) << x;
}

// A slab 200 x 80 mm that stands open by 0.2 mm at one end and 0.4 mm at the other: mean 0.3 mm over 160
// cm2, 4.8 cm3; at 1.55 g/cm3 7.44 g.
TEST(PartingGap, OfAnAnalyticSlabWeighsWhatItsWedgeHolds) {
  TriangleMesh slab;
  for (int i = 0; i < 8; ++i)
    slab.vertices.emplace_back((i & 1) != 0 ? 100 : -100, (i & 2) != 0 ? 40 : -40, (i & 4) != 0 ? 15 : -15);
  slab.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                    {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  CoreBox box;
  for (const auto& [x, y] : {std::pair{-100, -50}, {100, -50}, {-100, 50}, {100, 50}})
    box.gap_readings.push_back({Vector2d(x, y), 0.3 + 0.001 * x, {}});
  const CavityFootprint footprint = cavity_footprint(slab, box.parting);
  const PartingGap gap = parting_gap(box, &footprint);
  // Cells of less than a millimetre: the wedge's middle is met to a hundredth of its height.
  EXPECT_NEAR(gap.added->volume_cm3, 4.8, 0.02);
  EXPECT_NEAR(gap.added->weight_g, 7.44, 0.03);
  EXPECT_NEAR(gap.added->core_weight_g, 200 * 80 * 30 * 1.55 / 1000, 1e-6);
  EXPECT_NEAR(gap.growth->max_mm, 0.4, 1e-9);
  // Round the outline the mean opening is 0.3 mm as well: 0.3 x 560 mm.
  EXPECT_NEAR(gap.leak->area_mm2, 0.3 * 560, 1e-6);
}

}  // namespace
}  // namespace boxfettle
