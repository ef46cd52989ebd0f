#include "statistics/wear_line.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "input/input_error.hpp"
#include "statistics/quantile.hpp"

namespace boxfettle {
namespace {

constexpr double sigmas_of_u95 = 1.959963984540054;

double weight(const WearReading& reading) {
  return reading.u95_mm ? std::pow(sigmas_of_u95 / *reading.u95_mm, 2) : 1;
}

std::vector<WearLine> by_patch(std::span<const WearReading> readings) {
  std::map<std::string, std::size_t> places;
  std::vector<WearLine> lines;
  for (const WearReading& reading : readings) {
    const auto [place, fresh] = places.emplace(reading.patch, lines.size());
    if (fresh) {
      lines.emplace_back();
      lines.back().patch = reading.patch;
    }
    lines[place->second].readings.push_back(reading);
  }
  for (WearLine& line : lines) {
    double sum = 0;
    for (const WearReading& reading : line.readings) sum += weight(reading) * reading.depth_mm;
    line.build_up = sum < 0;
    if (line.build_up)
      for (WearReading& reading : line.readings) reading.depth_mm = -reading.depth_mm;
    std::ranges::stable_sort(line.readings, {}, &WearReading::shots);
  }
  return lines;
}

// Where readings claim no uncertainty, their noise is told from how far each lies off its neighbours' line.
double noise_of_neighbours(const std::vector<WearLine>& lines) {
  std::vector<double> off;
  for (const WearLine& line : lines)
    for (std::size_t i = 1; i + 1 < line.readings.size(); ++i) {
      const WearReading &before = line.readings[i - 1], &here = line.readings[i],
                        &after = line.readings[i + 1];
      const double length = after.shots - before.shots;
      if (!(length > 0)) continue;
      const double share = (here.shots - before.shots) / length;
      const double between = before.depth_mm + share * (after.depth_mm - before.depth_mm);
      off.push_back(std::abs(here.depth_mm - between) /
                    std::sqrt(1 + share * share + (1 - share) * (1 - share)));
    }
  if (off.empty()) return 0;
  std::ranges::sort(off);
  return 1.4826 * quantile(off, 0.5);  // median of absolute values to standard deviation, of a normal
}

void find_set_backs(WearLine& line, double common_noise_mm, const WearSettings& settings) {
  const auto sd = [&](const WearReading& one) {
    return one.u95_mm ? *one.u95_mm / sigmas_of_u95 : common_noise_mm;
  };
  line.starts = {0};
  for (std::size_t i = 1; i < line.readings.size(); ++i) {
    const WearReading &before = line.readings[i - 1], &here = line.readings[i];
    const double noise = settings.jump_sigmas * std::hypot(sd(before), sd(here));
    if (before.depth_mm - here.depth_mm > std::max(noise, settings.jump_share * settings.limit_mm))
      line.starts.push_back(i);
  }
}

// Readings between two repairs, about their own weighted middle.
struct Stretch {
  std::span<const WearReading> readings;
  double weight = 0, shots = 0, depth_mm = 0;
};

std::vector<Stretch> stretches_of(const WearLine& line) {
  std::vector<Stretch> stretches;
  for (std::size_t s = 0; s < line.starts.size(); ++s) {
    const std::size_t end = s + 1 < line.starts.size() ? line.starts[s + 1] : line.readings.size();
    Stretch stretch{std::span(line.readings).subspan(line.starts[s], end - line.starts[s])};
    for (const WearReading& one : stretch.readings) {
      stretch.weight += weight(one);
      stretch.shots += weight(one) * one.shots;
      stretch.depth_mm += weight(one) * one.depth_mm;
    }
    stretch.shots /= stretch.weight;
    stretch.depth_mm /= stretch.weight;
    stretches.push_back(stretch);
  }
  return stretches;
}

// What is left of the depths beside the line. Summed up by itself: as a difference of two sums an exact line
// would leave their rounding, which looks like scatter.
double squares_left(const std::vector<Stretch>& stretches, double slope) {
  double squares = 0;
  for (const Stretch& stretch : stretches)
    for (const WearReading& one : stretch.readings)
      squares += weight(one) *
                 std::pow(one.depth_mm - stretch.depth_mm - slope * (one.shots - stretch.shots), 2);
  return squares;
}

// One depth for each stretch between repairs and one slope for all. With every stretch about its own weighted
// middle the slope stands alone: no matrix to turn over, nothing lost to large shot counts.
void fit(WearLine& line) {
  const std::vector<Stretch> stretches = stretches_of(line);
  double sxx = 0, sxy = 0;
  for (const Stretch& stretch : stretches)
    for (const WearReading& one : stretch.readings) {
      const double dx = one.shots - stretch.shots;
      sxx += weight(one) * dx * dx;
      sxy += weight(one) * dx * (one.depth_mm - stretch.depth_mm);
    }
  line.has_slope = sxx > 0;
  const double ahead = line.readings.back().shots - stretches.back().shots;
  line.slope = line.has_slope ? sxy / sxx : 0;
  line.slope_variance = line.has_slope ? 1 / sxx : 0;
  line.covariance = ahead * line.slope_variance;
  line.depth_mm = stretches.back().depth_mm + ahead * line.slope;
  line.depth_variance = 1 / stretches.back().weight + ahead * ahead * line.slope_variance;
  line.squares = squares_left(stretches, line.slope);
  line.degrees =
      static_cast<double>(line.readings.size() - line.starts.size()) - (line.has_slope ? 1 : 0);
}

void check(std::span<const WearReading> readings) {
  for (const WearReading& one : readings) {
    if (one.u95_mm.has_value() != readings.front().u95_mm.has_value())
      throw InputError("", "patch " + one.patch, "some readings have an uncertainty and some have none",
                       "give u95_mm for all of them or for none");
    if (one.u95_mm && !(*one.u95_mm > 0))
      throw InputError("", "patch " + one.patch, "an uncertainty is not above zero", "no gauge is exact");
  }
}

}  // namespace

std::vector<WearLine> wear_lines(std::span<const WearReading> readings, const WearSettings& settings) {
  check(readings);
  std::vector<WearLine> lines = by_patch(readings);
  const double noise_mm = noise_of_neighbours(lines);
  for (WearLine& line : lines) {
    find_set_backs(line, noise_mm, settings);
    fit(line);
  }
  return lines;
}

}  // namespace boxfettle
