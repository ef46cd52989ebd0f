// A binary STL of 25 MB: our reader, which welds corners into shared vertices, beside a plain reader that
// only copies them out, and beside looking at every byte once.
//
//   build/bench/bench/bench_stl_reading
#include <benchmark/benchmark.h>

#include <array>
#include <cstring>
#include <filesystem>
#include <functional>
#include <numeric>
#include <vector>

#include "demo/invented_cores.hpp"
#include "geometry/stl_file.hpp"
#include "input/whole_file.hpp"

namespace boxfettle::bench {
namespace {

constexpr std::size_t head_bytes = 84, triangle_bytes = 50, normal_bytes = 12;

// Half a million triangles of 50 bytes each, written once and read from then on.
const WholeFile& volute_file() {
  static const WholeFile file = [] {
    const std::filesystem::path path = std::filesystem::temp_directory_path() / "boxfettle-bench-volute.stl";
    write_binary_stl(demo::pump_volute(0.75).design, path);
    WholeFile written(path);
    std::filesystem::remove(path);  // the mapping keeps the bytes
    return written;
  }();
  return file;
}

void count_bytes(benchmark::State& state) {
  state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations()) *
                          static_cast<std::int64_t>(volute_file().bytes().size()));
}

void welding_reader(benchmark::State& state) {
  volute_file();  // made before the clock starts
  for (auto pass : state)
    benchmark::DoNotOptimize(read_binary_stl(FileBytes(volute_file().bytes(), "volute.stl")));
  count_bytes(state);
}

void plain_reader(benchmark::State& state) {
  const std::span<const std::byte> bytes = volute_file().bytes();
  const std::size_t triangles = (bytes.size() - head_bytes) / triangle_bytes;
  for (auto pass : state) {
    std::vector<std::array<float, 9>> corners(triangles);
    for (std::size_t t = 0; t < triangles; ++t)
      std::memcpy(corners[t].data(), &bytes[head_bytes + t * triangle_bytes + normal_bytes],
                  sizeof(corners[t]));
    benchmark::DoNotOptimize(corners.data());
    benchmark::ClobberMemory();
  }
  count_bytes(state);
}

void every_byte_once(benchmark::State& state) {
  const std::span<const std::byte> bytes = volute_file().bytes();
  for (auto pass : state) {
    const unsigned sum = std::transform_reduce(bytes.begin(), bytes.end(), 0u, std::plus<>{},
                                               [](std::byte b) { return std::to_integer<unsigned>(b); });
    benchmark::DoNotOptimize(sum);
  }
  count_bytes(state);
}

BENCHMARK(welding_reader)->Unit(benchmark::kMillisecond);
BENCHMARK(plain_reader)->Unit(benchmark::kMillisecond);
BENCHMARK(every_byte_once)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace boxfettle::bench

BENCHMARK_MAIN();
