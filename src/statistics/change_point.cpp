#include "statistics/change_point.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

namespace boxfettle {
namespace {

struct Place {
  std::size_t first;  // index of the first changed point
  double gain;        // log likelihood against no change at all
  double weight;      // log probability, up to a constant
  double shift;
};

// From the last point backwards: m points with mean d gain m d^2/2; with the shift's size integrated out,
// every place weighs exp(m d^2/2)/sqrt(m).
std::vector<Place> places(std::span<const std::optional<double>> sigmas) {
  std::vector<Place> found;
  double sum = 0, m = 0;
  for (std::size_t i = sigmas.size(); i-- > 0;) {
    if (!sigmas[i]) continue;
    sum += *sigmas[i];
    m += 1;
    const double gain = 0.5 * sum * sum / m;
    found.push_back({i, gain, gain - 0.5 * std::log(m), sum / m});
  }
  return found;
}

}  // namespace

std::optional<ChangePoint> change_point(std::span<const std::optional<double>> sigmas, double confidence) {
  std::vector<Place> found = places(sigmas);
  if (found.empty()) return std::nullopt;
  const auto most = std::ranges::max_element(found, {}, &Place::gain);
  ChangePoint change{most->first, most->first, most->first, most->shift};
  std::ranges::sort(found, std::greater{}, &Place::weight);
  const double top = found.front().weight;
  double all = 0, so_far = 0;
  for (const Place& place : found) all += std::exp(place.weight - top);
  for (const Place& place : found) {
    change.low = std::min(change.low, place.first);
    change.high = std::max(change.high, place.first);
    so_far += std::exp(place.weight - top);
    if (so_far >= confidence * all) break;
  }
  return change;
}

}  // namespace boxfettle
