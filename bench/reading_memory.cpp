// How much memory a reading takes for each point of the scan, at its peak.
//
//   build/bench/bench/bench_reading_memory [points, default 20,000,000]
//
// The scan is made and each reading done in a process of its own, so that one's memory is not counted as
// another's. The bytes a point are the slope between a tenth of the points and all of them: what the design
// costs drops out. The file's own bytes are let go as soon as it is read, before the peak.
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <functional>

#include "demo/invented_cores.hpp"
#include "demo/synthetic_scan.hpp"
#include "geometry/surface_file.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle::bench {
namespace {

namespace fs = std::filesystem;

// Peak resident bytes of a child that does `work`.
double peak_bytes(const std::function<void()>& work) {
  const pid_t child = fork();
  if (child == 0) {
    work();
    _exit(0);
  }
  int status = 0;
  rusage used{};
  wait4(child, &status, 0, &used);
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) std::exit(1);
  return 1024.0 * static_cast<double>(used.ru_maxrss);
}

double reading_bytes(std::size_t points, const fs::path& folder) {
  const fs::path file = folder / "scan.ply";
  peak_bytes([&] {
    const demo::InventedCore core = demo::pump_volute(1.5);
    demo::Scanner scanner;
    scanner.points = points;
    write_binary_ply(demo::scan_core(core.design, core.box.parting, {}, scanner).points, file);
  });
  return peak_bytes([&] {
    const demo::InventedCore core = demo::pump_volute(1.5);
    SurfaceFile scan = read_surface_file(file);
    const ScanReading reading = read_scan(core.design, std::move(scan.surface), &core.box);
    std::printf("  %9zu points: mismatch %+.4f %+.4f, gap %+.4f mm (truth: none)\n", points,
                reading.halves->mismatch_mm.x(), reading.halves->mismatch_mm.y(), reading.halves->gap_mm);
    std::fflush(stdout);
  });
}

void run(std::size_t points) {
  const fs::path folder = fs::temp_directory_path() / "boxfettle-bench-reading-memory";
  fs::create_directories(folder);
  const double few = reading_bytes(points / 10, folder), all = reading_bytes(points, folder);
  std::printf("Peak %.0f MB for %zu points, %.0f MB for %zu: %.1f bytes a point\n", few / 1e6, points / 10,
              all / 1e6, points, (all - few) / static_cast<double>(points - points / 10));
  fs::remove_all(folder);
}

}  // namespace
}  // namespace boxfettle::bench

int main(int count, char** words) {
  boxfettle::bench::run(count > 1 ? std::strtoull(words[1], nullptr, 10) : 20'000'000);
}
