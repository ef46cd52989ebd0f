// What the centre and the scatter of a chart are taken to be, and which data give none.
#include <algorithm>
#include <cmath>
#include <map>
#include <string>

#include "input/input_error.hpp"
#include "statistics/control_chart.hpp"
#include "statistics/control_constants.hpp"
#include "statistics/moments.hpp"

namespace boxfettle {
namespace {

[[noreturn]] void refuse(const std::string& what, const std::string& mend) {
  throw InputError("", "", what, mend);
}

std::string subgroup_place(std::size_t index) {
  return "subgroup " + std::to_string(index + 1);
}

// A weighted mean of what each subgroup says sigma is.
class SigmaMean {
 public:
  void add(double sigma, double weight) {
    sum_ += weight * sigma;
    weights_ += weight;
  }
  std::optional<double> mean() const {
    if (weights_ <= 0) return std::nullopt;
    return sum_ / weights_;
  }

 private:
  double sum_ = 0, weights_ = 0;
};

// Ranges and deviations of subgroups of several sizes, each weighted by how well it tells sigma: I. W. Burr,
// "Control Charts for Measurements with Varying Sample Sizes", J. Quality Technology 1 (1969).
std::optional<double> sigma_from_ranges(std::span<const Subgroup> subgroups) {
  SigmaMean sigma;
  for (const Subgroup& one : subgroups) {
    if (one.values.size() < 2) continue;
    const RangeConstants constants = range_constants(static_cast<int>(one.values.size()));
    const auto [least, most] = std::ranges::minmax(one.values);
    sigma.add((most - least) / constants.d2, std::pow(constants.d2 / constants.d3, 2));
  }
  return sigma.mean();
}

std::optional<double> sigma_from_deviations(std::span<const Subgroup> subgroups) {
  SigmaMean sigma;
  for (const Subgroup& one : subgroups) {
    if (one.values.size() < 2) continue;
    const double c4 = deviation_constants(static_cast<int>(one.values.size())).c4;
    sigma.add(*Moments(one.values).sd() / c4, c4 * c4 / (1 - c4 * c4));
  }
  return sigma.mean();
}

std::optional<double> sigma_from_moving_ranges(std::span<const Subgroup> subgroups) {
  SigmaMean sigma;
  for (std::size_t i = 1; i < subgroups.size(); ++i)
    if (!subgroups[i - 1].values.empty() && !subgroups[i].values.empty())
      sigma.add(std::abs(subgroups[i].values[0] - subgroups[i - 1].values[0]) / range_constants(2).d2, 1);
  return sigma.mean();
}

bool single_values(std::span<const Subgroup> subgroups) {
  return std::ranges::all_of(subgroups, [](const Subgroup& one) { return one.values.size() <= 1; });
}

std::optional<double> estimated_sigma(std::span<const Subgroup> subgroups, ChartKind kind) {
  if (kind == ChartKind::i_mr ||
      (kind != ChartKind::xbar_r && kind != ChartKind::xbar_s && single_values(subgroups)))
    return sigma_from_moving_ranges(subgroups);
  return kind == ChartKind::xbar_r ? sigma_from_ranges(subgroups) : sigma_from_deviations(subgroups);
}

double commonest_size(std::span<const Subgroup> subgroups, ChartKind kind) {
  std::map<double, std::size_t> seen;
  for (const Subgroup& one : subgroups) {
    const double size = kind == ChartKind::p ? one.checked : static_cast<double>(one.values.size());
    if (size > 0 && !one.values.empty()) ++seen[size];
  }
  if (seen.empty()) refuse("holds no value to chart", "give the column that was measured with --column");
  return std::ranges::max_element(seen, {}, [](const auto& entry) { return entry.second; })->first;
}

void check_counts(std::span<const Subgroup> subgroups, ChartKind kind) {
  for (std::size_t i = 0; i < subgroups.size(); ++i) {
    const Subgroup& one = subgroups[i];
    if (one.values.empty()) continue;
    const double count = one.values.front();
    if (count < 0 || count != std::floor(count))
      throw InputError("", subgroup_place(i), "a count is not a whole number from 0 on", "count whole cores");
    if (kind == ChartKind::p && (one.checked < count || one.checked != std::floor(one.checked)))
      throw InputError("", subgroup_place(i), "more are bad than were checked",
                       "give how many were checked beside how many were bad");
  }
}

void check_sizes(std::span<const Subgroup> subgroups, ChartKind kind) {
  for (std::size_t i = 0; i < subgroups.size(); ++i) {
    const std::size_t size = subgroups[i].values.size();
    if (kind == ChartKind::i_mr && size > 1)
      throw InputError("", subgroup_place(i), "holds several values where i-mr takes one",
                       "use --kind xbar-r, or leave --subgroup out");
    if (kind == ChartKind::xbar_r && size > static_cast<std::size_t>(largest_range_subgroup))
      throw InputError("", subgroup_place(i), "holds more than 25 values, too many for a range",
                       "use --kind xbar-s");
  }
}

ChartBasis basis_of_counts(std::span<const Subgroup> used, const ChartSettings& settings) {
  ChartBasis basis;
  double total = 0, looked_at = 0;
  for (const Subgroup& one : used) {
    if (one.values.empty() || (settings.kind == ChartKind::p && one.checked <= 0)) continue;
    total += one.values.front();
    looked_at += settings.kind == ChartKind::p ? one.checked : 1;
    ++basis.subgroups_used;
  }
  if (!settings.target && looked_at <= 0)
    refuse("holds no count to take the centre from", "give it with --target");
  basis.centre = settings.target.value_or(total / looked_at);
  if (basis.centre <= 0 || (settings.kind == ChartKind::p && basis.centre >= 1))
    refuse("none is bad, or all are: such counts have no scatter to draw limits from",
           "give the usual level with --target");
  return basis;
}

ChartBasis basis_of_values(std::span<const Subgroup> used, const ChartSettings& settings) {
  ChartBasis basis;
  Moments all;
  for (const Subgroup& one : used) {
    all.add(Moments(one.values));
    basis.subgroups_used += !one.values.empty();
  }
  if (!settings.target && all.count() == 0)
    refuse("holds no value to take the centre from", "give it with --target");
  basis.centre = settings.target.value_or(all.mean());
  const std::optional<double> sigma = settings.sigma ? settings.sigma : estimated_sigma(used, settings.kind);
  if (!sigma)
    refuse("has too few values side by side to tell their scatter", "measure more, or give --sigma");
  // Equal values leave rounding behind, not always a plain zero.
  const double rounding = 1e-13 * std::abs(basis.centre);
  if (!(*sigma > rounding))
    refuse("all values are the same: no limits can be drawn from no scatter",
           "look at the gauge's resolution, or give --sigma");
  basis.sigma = *sigma;
  return basis;
}

}  // namespace

ChartBasis chart_basis(std::span<const Subgroup> subgroups, const ChartSettings& settings) {
  const bool counted = settings.kind == ChartKind::p || settings.kind == ChartKind::c;
  if (counted)
    check_counts(subgroups, settings.kind);
  else
    check_sizes(subgroups, settings.kind);
  const auto used = subgroups.first(std::min(settings.baseline.value_or(subgroups.size()), subgroups.size()));
  const double usual = commonest_size(subgroups, settings.kind);
  if (usual < 2 && (settings.kind == ChartKind::xbar_r || settings.kind == ChartKind::xbar_s))
    refuse("most subgroups hold one value only", "use --kind i-mr");
  ChartBasis basis = counted ? basis_of_counts(used, settings) : basis_of_values(used, settings);
  basis.usual_size = usual;
  return basis;
}

}  // namespace boxfettle
