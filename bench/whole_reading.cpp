// A whole reading, files in to verdict out, beside one full pass of closest points over the same scan,
// sorting included: how many passes does everything else cost? Then the same against more points and more
// triangles, drawn with both scales logarithmic where a picture is asked for.
//
//   build/bench/bench/bench_whole_reading [points, default 2,000,000] [PICTURE.svg]
#include <tbb/global_control.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "cost_picture.hpp"
#include "demo/invented_cores.hpp"
#include "demo/synthetic_scan.hpp"
#include "geometry/closest_point.hpp"
#include "geometry/morton_order.hpp"
#include "geometry/surface_file.hpp"
#include "paper/scan_reading_json.hpp"
#include "reading/design_file.hpp"
#include "reading/scan_reading.hpp"
#include "stopwatch.hpp"

namespace boxfettle::bench {
namespace {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

double since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

// Processor time of all threads: what a step costs even when other programs share the machine.
double processor_seconds() {
  return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

struct Case {
  demo::InventedCore core;
  PointCloud scan;
  fs::path design_file, scan_file;
};

Case make_case(double cell_mm, std::size_t points, const fs::path& folder) {
  Case made{demo::pump_volute(cell_mm), {}, folder / "design.stl", folder / "scan.ply"};
  demo::BoxFaults faults;
  faults.mismatch_mm = {0.28, -0.21};
  faults.gap_mm = 0.2;
  faults.patches.push_back({made.core.box.blow_inlets.at(0).at_design_mm, 15, 0.4});
  demo::Scanner scanner;
  scanner.points = points;
  made.scan = demo::scan_core(made.core.design, made.core.box.parting, faults, scanner).points;
  write_binary_stl(made.core.design, made.design_file);
  write_binary_ply(made.scan, made.scan_file);
  return made;
}

// Prints how long each step took; steps are told by the reading itself.
double whole_reading(const Case& given, bool print_steps) {
  const Clock::time_point start = Clock::now();
  const DesignAndScan files = read_design_and_scan(given.design_file, &given.core.box, {}, given.scan_file);
  if (print_steps) std::printf("    %-34s %7.0f ms\n", "reading both files", 1e3 * since(start));
  std::string step;
  double began = processor_seconds();
  ScanSettings settings;
  settings.progress = [&](double, std::string_view next) {
    if (print_steps && !step.empty() && step != next)
      std::printf("    %-34s %7.0f ms of processor\n", step.c_str(), 1e3 * (processor_seconds() - began));
    if (step != next) began = processor_seconds();
    step = next;
    return true;
  };
  const ScanReading reading = read_scan(files.design.mesh_mm, files.scan.surface, &given.core.box, settings);
  const std::string json = scan_reading_json(reading, {}).dump();
  const double seconds = since(start);
  if (print_steps)
    std::printf("    %-34s mismatch %+.4f %+.4f, gap %+.4f, %zu bytes of answer\n",
                "read:", reading.halves->mismatch_mm.x(), reading.halves->mismatch_mm.y(),
                reading.halves->gap_mm, json.size());
  return seconds;
}

Cost compare(const Case& given, int threads, bool print_steps) {
  const tbb::global_control limit(tbb::global_control::max_allowed_parallelism,
                                  static_cast<std::size_t>(threads));
  const SurfaceIndex index(given.core.design);
  // The scan's own pose is unknown to the reading; for the pass alone the points are laid on the design.
  const ScanReading read = read_scan(given.core.design, given.scan, &given.core.box);
  const double pass =
      median_seconds([&] { index.closest(in_morton_order(given.scan), read.design_from_scan); });
  if (print_steps) whole_reading(given, true);
  const double whole = median_seconds([&] { whole_reading(given, false); });
  std::printf(
      "  %9zu points, %7zu triangles, %d thread%s: pass %7.0f ms, whole %7.0f ms = %.1f passes (load %s)\n",
      given.scan.size(), given.core.design.triangles.size(), threads, threads > 1 ? "s" : " ", 1e3 * pass,
      1e3 * whole, whole / pass, load_average().c_str());
  std::fflush(stdout);
  return {0, 1e3 * pass, 1e3 * whole};
}

void run(std::size_t points, const std::string& picture) {
  const fs::path folder = fs::temp_directory_path() / "boxfettle-bench-whole-reading";
  fs::create_directories(folder);
  std::printf("%s\n", processor().c_str());
  {
    const Case given = make_case(0.86, points, folder);
    for (const int threads : {1, 2}) compare(given, threads, true);
  }
  const auto cost_of = [&](double cell_mm, std::size_t count, bool by_points) {
    const Case given = make_case(cell_mm, count, folder);
    Cost cost = compare(given, 2, false);
    cost.size = static_cast<double>(by_points ? count : given.core.design.triangles.size());
    return cost;
  };
  std::vector<Cost> against_points, against_triangles;
  std::printf("Against the number of points:\n");
  for (const std::size_t count : {points / 16, points / 4, points})
    against_points.push_back(cost_of(1.5, count, true));
  std::printf("Against the number of triangles:\n");
  for (const double cell_mm : {3.0, 1.5, 0.86})
    against_triangles.push_back(cost_of(cell_mm, points / 4, false));
  if (!picture.empty()) std::ofstream(picture) << cost_picture(against_points, against_triangles);
  fs::remove_all(folder);
}

}  // namespace
}  // namespace boxfettle::bench

int main(int count, char** words) {
  boxfettle::bench::run(count > 1 ? std::strtoull(words[1], nullptr, 10) : 2'000'000,
                        count > 2 ? words[2] : "");
}
