#include "statistics/change_shape.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "statistics/distributions.hpp"

namespace boxfettle {
namespace {

// Sums over the points from some place on, and how the points lie on a column that is 0 before it.
struct Line {
  double squares, slope;
  double gain() const { return 0.5 * slope * slope * squares; }  // log likelihood against one level alone
};

// The column's own sum and squares, and its products with the points; each about the means.
std::optional<Line> line(double sum, double squares, double products, double mean, double count) {
  const double about_mean = squares - sum * sum / count;
  if (!(about_mean > 1e-9)) return std::nullopt;
  return Line{about_mean, (products - sum * mean) / about_mean};
}

struct Beginning {
  std::size_t at;
  Line drift;
  double weight;  // log probability, up to a constant; level and slope integrated out
};

struct BothShapes {
  double jump_gain = 0;
  std::vector<Beginning> beginnings;
};

// From the last point backwards, a place further each time: what a line gains is summed up as it goes.
BothShapes both_shapes(std::span<const std::optional<double>> sigmas, double mean, double count) {
  BothShapes found;
  double points = 0, sum = 0;                   // a jump's column is 1 from the place on
  double steps = 0, squares = 0, products = 0;  // a drift's is 0, 1, 2, ...
  for (std::size_t i = sigmas.size(); i-- > 0;) {
    squares += 2 * steps + points;
    steps += points;
    products += sum;
    if (const auto drift = line(steps, squares, products, mean, count))
      found.beginnings.push_back({i, *drift, drift->gain() - 0.5 * std::log(drift->squares)});
    if (!sigmas[i]) continue;
    points += 1;
    sum += *sigmas[i];
    if (const auto jump = line(points, points, sum, mean, count))
      found.jump_gain = std::max(found.jump_gain, jump->gain());
  }
  return found;
}

// The slope below which so much of the probability lies, over all beginnings.
double slope_below(const std::vector<Beginning>& likely, double share) {
  double low = 0, high = 0, all = 0;
  for (const Beginning& one : likely) {
    const double reach = 10 / std::sqrt(one.drift.squares);
    low = std::min(low, one.drift.slope - reach);
    high = std::max(high, one.drift.slope + reach);
    all += one.weight;
  }
  for (int halving = 0; halving < 60; ++halving) {
    const double middle = 0.5 * (low + high);
    double below = 0;
    for (const Beginning& one : likely)
      below += one.weight * normal_cdf((middle - one.drift.slope) * std::sqrt(one.drift.squares));
    (below < share * all ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

// The most probable first, as plain shares of the top's; those that count for nothing left out.
std::vector<Beginning> likely_ones(std::vector<Beginning> beginnings) {
  std::ranges::sort(beginnings, std::greater{}, &Beginning::weight);
  const double top = beginnings.front().weight;
  std::erase_if(beginnings, [top](const Beginning& one) { return one.weight < top - 20; });
  for (Beginning& one : beginnings) one.weight = std::exp(one.weight - top);
  return beginnings;
}

Drift drift_of(const std::vector<Beginning>& beginnings, double confidence) {
  const std::vector<Beginning> likely = likely_ones(beginnings);
  const std::size_t first = likely.front().at;
  Drift drift{first, first, first, {likely.front().drift.slope, 0, 0}};
  double all = 0, so_far = 0;
  for (const Beginning& one : likely) all += one.weight;
  for (const Beginning& one : likely) {
    drift.low = std::min(drift.low, one.at);
    drift.high = std::max(drift.high, one.at);
    so_far += one.weight;
    if (so_far >= confidence * all) break;
  }
  drift.slope.low = slope_below(likely, 0.5 * (1 - confidence));
  drift.slope.high = slope_below(likely, 0.5 * (1 + confidence));
  return drift;
}

}  // namespace

ShapeOfChange shape_of_change(std::span<const std::optional<double>> sigmas, double confidence) {
  double count = 0, sum = 0;
  for (const auto& point : sigmas) {
    count += point.has_value();
    sum += point.value_or(0);
  }
  ShapeOfChange told;
  told.points = static_cast<std::size_t>(count);
  if (told.points < 4) return told;
  const BothShapes both = both_shapes(sigmas, sum / count, count);
  double drift_gain = 0;
  for (const Beginning& one : both.beginnings) drift_gain = std::max(drift_gain, one.drift.gain());
  told.fit = std::max(drift_gain, both.jump_gain) + 0.5 * sum * sum / count;
  const double enough = std::log(least_odds);
  if (both.jump_gain > drift_gain + enough) told.shape = ChangeShape::jump;
  if (drift_gain > both.jump_gain + enough) {
    told.shape = ChangeShape::drift;
    told.drift = drift_of(both.beginnings, confidence);
  }
  return told;
}

}  // namespace boxfettle
