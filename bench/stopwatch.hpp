// The middle of several timings, and what they were taken on.
#pragma once

#include <algorithm>
#include <array>
#include <chrono>
#include <fstream>
#include <string>

namespace boxfettle::bench {

inline constexpr int repeats = 5;

// `work` is done once more beforehand, so that no repeat pays for first touches of memory.
template <typename Work>
double median_seconds(const Work& work) {
  work();
  std::array<double, repeats> seconds;
  for (double& taken : seconds) {
    const auto start = std::chrono::steady_clock::now();
    work();
    taken = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  }
  std::nth_element(seconds.begin(), seconds.begin() + repeats / 2, seconds.end());
  return seconds[repeats / 2];
}

inline std::string processor() {
  std::ifstream info("/proc/cpuinfo");
  for (std::string line; std::getline(info, line);)
    if (line.starts_with("model name")) return line.substr(line.find(':') + 2);
  return "unknown processor";
}

inline std::string load_average() {
  std::string one_minute;
  std::ifstream("/proc/loadavg") >> one_minute;
  return one_minute;
}

}  // namespace boxfettle::bench
