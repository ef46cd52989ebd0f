#include "statistics/moments.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace boxfettle {
namespace {

constexpr std::size_t block_values = 2048;  // 16 kB: both passes over a block come from the nearest cache
constexpr std::size_t lanes = 8;            // independent sums, so that no addition waits for the last

double total(const std::array<double, lanes>& sums) {
  return ((sums[0] + sums[1]) + (sums[2] + sums[3])) + ((sums[4] + sums[5]) + (sums[6] + sums[7]));
}

double sum(std::span<const double> values) {
  std::array<double, lanes> sums{};
  std::size_t i = 0;
  for (; i + lanes <= values.size(); i += lanes)
    for (std::size_t lane = 0; lane < lanes; ++lane) sums[lane] += values[i + lane];
  for (; i < values.size(); ++i) sums[0] += values[i];
  return total(sums);
}

struct About {
  double sum, squares;
};

About sums_about(std::span<const double> values, double centre) {
  std::array<double, lanes> sums{}, squares{};
  std::size_t i = 0;
  for (; i + lanes <= values.size(); i += lanes)
    for (std::size_t lane = 0; lane < lanes; ++lane) {
      const double off = values[i + lane] - centre;
      sums[lane] += off;
      squares[lane] += off * off;
    }
  for (; i < values.size(); ++i) {
    const double off = values[i] - centre;
    sums[0] += off;
    squares[0] += off * off;
  }
  return {total(sums), total(squares)};
}

}  // namespace

Moments::Moments(std::span<const double> values) {
  while (!values.empty()) {
    const auto block = values.first(std::min(values.size(), block_values));
    values = values.subspan(block.size());
    const auto n = static_cast<double>(block.size());
    const double rough = sum(block) / n;
    const About about = sums_about(block, rough);
    Moments one;
    one.count_ = block.size();
    one.origin_ = rough;
    one.offset_ = about.sum / n;
    one.squares_ = std::max(about.squares - about.sum * about.sum / n, 0.0);
    add(one);
  }
}

void Moments::add(double value) {
  if (count_ == 0) origin_ = value;
  ++count_;
  const double off = (value - origin_) - offset_;
  offset_ += off / static_cast<double>(count_);
  squares_ += off * ((value - origin_) - offset_);
}

void Moments::add(const Moments& other) {
  if (other.count_ == 0) return;
  if (count_ == 0) {
    *this = other;
    return;
  }
  const auto mine = static_cast<double>(count_), theirs = static_cast<double>(other.count_);
  const double off = (other.origin_ - origin_) + other.offset_ - offset_, all = mine + theirs;
  squares_ += other.squares_ + off * off * mine * theirs / all;
  offset_ += off * theirs / all;
  count_ += other.count_;
}

std::optional<double> Moments::sd() const {
  if (count_ < 2) return std::nullopt;
  return std::sqrt(squares_ / static_cast<double>(count_ - 1));
}

}  // namespace boxfettle
