// How a box closes: its worst mismatch over an outline of 2,000 points, a million draws of the likely one,
// and forty boxes answered whole.
//
//   build/bench/bench/bench_closing
#include <benchmark/benchmark.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "closing/dowel_check.hpp"
#include "closing/parting_gap.hpp"
#include "demo/invented_cores.hpp"

namespace boxfettle::bench {
namespace {

using Eigen::Vector2d;

std::vector<Dowel> four_dowels() {
  const auto round = [](double x, double y, double clearance_mm) {
    return Dowel{"D", {x, y}, 12, 12 + clearance_mm, Dowel::Bush::round, {1, 0}, {}, {}};
  };
  return {round(-140, -100, 0.08), round(140, -100, 0.10), round(0, 120, 0.30),
          Dowel{"S", {10, -130}, 12, 12.1, Dowel::Bush::slot, {1, 0}, 20, {}}};
}

// Three-lobed, so that most of its points stand on its convex outline or near it.
std::vector<Vector2d> outline() {
  std::vector<Vector2d> points;
  for (int k = 0; k < 2000; ++k) {
    const double angle = 2 * std::numbers::pi * k / 2000, away = 1 + 0.1 * std::cos(3 * angle);
    points.emplace_back(110 * away * std::cos(angle), 70 * away * std::sin(angle));
  }
  return points;
}

void worst_of_four_dowels_over_2000_points(benchmark::State& state) {
  const std::vector<Dowel> dowels = four_dowels();
  const std::vector<Vector2d> places = outline();
  for (auto _ : state) benchmark::DoNotOptimize(DowelPlay(dowels).worst_along(places)->mm);
}
BENCHMARK(worst_of_four_dowels_over_2000_points)->Unit(benchmark::kMicrosecond);

void likely_shift_of_a_million_draws(benchmark::State& state) {
  const DowelPlay play(four_dowels());
  const LikelyShiftSettings settings{.contact = state.range(0) == 0 ? Contact::anywhere : Contact::pushed,
                                     .draws = 1'000'000};
  for (auto _ : state) benchmark::DoNotOptimize(likely_shift(play, {60, 35}, settings).p95_mm);
  state.SetLabel(state.range(0) == 0 ? "anywhere" : "pushed");
}
BENCHMARK(likely_shift_of_a_million_draws)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

struct ReadBox {
  CoreBox box;
  CavityFootprint footprint;
};

// The three demo boxes that have a design, each with its bushes worn a little more, until there are forty.
const std::vector<ReadBox>& forty_boxes() {
  static const std::vector<ReadBox> boxes = [] {
    std::vector<ReadBox> made;
    const std::vector<demo::InventedCore> cores{demo::pump_volute(), demo::ribbed_jacket(),
                                                demo::stepped_valve_body()};
    std::vector<CavityFootprint> footprints;
    for (const demo::InventedCore& core : cores)
      footprints.push_back(cavity_footprint(core.design, core.box.parting));
    for (std::size_t k = 0; k < 40; ++k) {
      made.push_back({cores[k % 3].box, footprints[k % 3]});
      for (Dowel& dowel : made.back().box.dowels) dowel.bush_mm += 0.005 * static_cast<double>(k);
    }
    return made;
  }();
  return boxes;
}

void forty_boxes_answered(benchmark::State& state) {
  const std::vector<ReadBox>& boxes = forty_boxes();  // made before the clock starts
  for (auto _ : state)
    for (const ReadBox& one : boxes) {
      benchmark::DoNotOptimize(dowel_check(one.box, one.footprint.outline_points_mm()).verdict);
      benchmark::DoNotOptimize(parting_gap(one.box, &one.footprint).verdict);
    }
}
BENCHMARK(forty_boxes_answered)->Unit(benchmark::kMillisecond);

void footprint_of_the_volute(benchmark::State& state) {
  const demo::InventedCore volute = demo::pump_volute();
  for (auto _ : state)
    benchmark::DoNotOptimize(cavity_footprint(volute.design, volute.box.parting).projected_area_mm2);
  state.SetLabel(std::to_string(volute.design.triangles.size()) + " triangles");
}
BENCHMARK(footprint_of_the_volute)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace boxfettle::bench

BENCHMARK_MAIN();
