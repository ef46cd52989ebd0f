// A binary STL of 33 MB from the disk's cache: our reader, which welds corners into shared vertices, beside a
// plain one that only copies them out, and beside reading the bytes alone.
//
//   build/bench/bench/bench_stl_reading
#include <benchmark/benchmark.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <filesystem>
#include <string>
#include <vector>

#include "demo/invented_cores.hpp"
#include "geometry/stl_file.hpp"
#include "input/file_bytes.hpp"

namespace boxfettle::bench {
namespace {

constexpr std::size_t head_bytes = 84, triangle_bytes = 50, normal_bytes = 12;
constexpr std::size_t triangles_at_once = 4096;

// Two thirds of a million triangles of 50 bytes each, written once and read from then on.
class VoluteOnDisk {
 public:
  VoluteOnDisk() { write_binary_stl(demo::pump_volute(0.75).design, path); }
  ~VoluteOnDisk() { std::filesystem::remove(path); }
  VoluteOnDisk(const VoluteOnDisk&) = delete;
  VoluteOnDisk& operator=(const VoluteOnDisk&) = delete;

  const std::filesystem::path path =
      std::filesystem::temp_directory_path() / ("boxfettle-bench-" + std::to_string(::getpid()) + ".stl");
};

const std::filesystem::path& volute() {
  static const VoluteOnDisk file;
  return file.path;
}

// Calls act(first triangle, how many, their bytes) for the whole file, stretch by stretch.
template <typename Act>
void each_stretch(const FileBytes& file, const Act& act) {
  FileBytes::Room room;
  const std::size_t triangles = (file.size() - head_bytes) / triangle_bytes;
  for (std::size_t first = 0; first < triangles; first += triangles_at_once) {
    const std::size_t count = std::min(triangles_at_once, triangles - first);
    act(first, count, file.stretch(head_bytes + first * triangle_bytes, count * triangle_bytes, room));
  }
}

void count_bytes(benchmark::State& state) {
  state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations()) *
                          static_cast<std::int64_t>(std::filesystem::file_size(volute())));
}

void welding_reader(benchmark::State& state) {
  volute();  // made before the clock starts
  for (auto pass : state) benchmark::DoNotOptimize(read_binary_stl(FileBytes(volute())));
  count_bytes(state);
}

void plain_reader(benchmark::State& state) {
  volute();
  for (auto pass : state) {
    const FileBytes file(volute());
    std::vector<std::array<float, 9>> corners((file.size() - head_bytes) / triangle_bytes);
    each_stretch(file, [&](std::size_t first, std::size_t count, std::span<const std::byte> bytes) {
      for (std::size_t t = 0; t < count; ++t)
        std::memcpy(corners[first + t].data(), &bytes[t * triangle_bytes + normal_bytes],
                    sizeof(corners[first + t]));
    });
    benchmark::DoNotOptimize(corners.data());
    benchmark::ClobberMemory();
  }
  count_bytes(state);
}

void bytes_alone(benchmark::State& state) {
  volute();
  for (auto pass : state)
    each_stretch(FileBytes(volute()), [](std::size_t, std::size_t, std::span<const std::byte> bytes) {
      benchmark::DoNotOptimize(bytes.data());
      benchmark::ClobberMemory();
    });
  count_bytes(state);
}

BENCHMARK(welding_reader)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(plain_reader)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(bytes_alone)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
}  // namespace boxfettle::bench

BENCHMARK_MAIN();
