#include "statistics/weibull_likelihood.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

constexpr double most_log_shape = 9.2;
constexpr int most_steps = 100;

// H = (t/scale)^shape and its derivatives by log scale and log shape. With u = shape (log t - log scale):
// H = e^u, du/ds = -shape, du/db = u.
struct Hazard {
  double h = 0, s = 0, b = 0, ss = 0, sb = 0, bb = 0;
};

Hazard hazard(double log_time, double log_scale, double shape) {
  const double u = shape * (log_time - log_scale);
  if (u < -700) return {};
  const double h = std::exp(u);
  return {h, -shape * h, u * h, shape * shape * h, -shape * h * (1 + u), u * h * (1 + u)};
}

}  // namespace

WeibullLikelihood::WeibullLikelihood(std::span<const LifeRecord> records) {
  for (const LifeRecord& one : records) {
    if (!one.failed())
      sound_.push_back(std::log(one.low));
    else if (one.exact())
      failed_.push_back(std::log(one.low));
    else
      between_.push_back({std::log(one.low), std::log(*one.high)});
  }
  for (const double log_time : failed_) failed_sum_ += log_time;
}

WeibullLikelihood::Slopes WeibullLikelihood::at(const WeibullPoint& point) const {
  const double shape = std::exp(point.log_shape), scale = point.log_scale;
  Slopes sum;
  // Exact failures: log f = log shape + u - log t - H; lives without failure: -H.
  const auto n = static_cast<double>(failed_.size());
  const double u_sum = shape * (failed_sum_ - n * scale);
  sum.value = n * point.log_shape + u_sum - failed_sum_;
  sum.s = -n * shape;
  sum.b = n + u_sum;
  sum.sb = -n * shape;
  sum.bb = u_sum;
  double h = 0, uh = 0, uuh = 0;
  for (const auto* times : {&failed_, &sound_})
    for (const double log_time : *times) {
      const double u = shape * (log_time - scale), one = std::exp(u);
      h += one;
      uh += u * one;
      uuh += u * u * one;
    }
  sum.value -= h;
  sum.s += shape * h;
  sum.b -= uh;
  sum.ss -= shape * shape * h;
  sum.sb += shape * (h + uh);
  sum.bb -= uh + uuh;
  for (const Between& one : between_) add(one, scale, shape, sum);
  return sum;
}

// Between two checks: log(exp(-Hl) - exp(-Hu)) = -Hl + log(1 - exp(-D)), D = Hu - Hl.
void WeibullLikelihood::add(const Between& one, double scale, double shape, Slopes& sum) {
  const Hazard low = std::isinf(one.low) ? Hazard{} : hazard(one.low, scale, shape);
  const Hazard high = hazard(one.high, scale, shape);
  const double d = high.h - low.h;
  if (!(d > 0)) {
    sum.value = -1e300;  // no chance that a double can hold; finite, so that a search sees how far it fell
    return;
  }
  const double inside = -std::expm1(-d), rate = std::exp(-d) / inside;  // d/dD log(1 - e^-D)
  const double bend = -rate / inside;
  const double ds = high.s - low.s, db = high.b - low.b;
  sum.value += -low.h + std::log(inside);
  sum.s += -low.s + rate * ds;
  sum.b += -low.b + rate * db;
  sum.ss += -low.ss + rate * (high.ss - low.ss) + bend * ds * ds;
  sum.sb += -low.sb + rate * (high.sb - low.sb) + bend * ds * db;
  sum.bb += -low.bb + rate * (high.bb - low.bb) + bend * db * db;
}

std::optional<WeibullLikelihood::Highest> WeibullLikelihood::highest(WeibullPoint point) const {
  Slopes here = at(point);
  for (int step = 1; step <= most_steps; ++step) {
    double ds = 0, db = 0;
    const double determinant = here.ss * here.bb - here.sb * here.sb;
    if (here.ss < 0 && determinant > 0) {
      ds = -(here.bb * here.s - here.sb * here.b) / determinant;
      db = -(here.ss * here.b - here.sb * here.s) / determinant;
    } else {  // not yet where it curves down: uphill, by each direction's own curvature
      ds = here.s / (std::abs(here.ss) + 1);
      db = here.b / (std::abs(here.bb) + 1);
    }
    const double reach = std::max(std::abs(ds), std::abs(db));
    double part = reach > 1 ? 1 / reach : 1;
    Slopes next;
    WeibullPoint to;
    for (int halving = 0; halving < 40; ++halving, part *= 0.5) {
      to = {point.log_scale + part * ds, point.log_shape + part * db};
      next = at(to);
      if (std::isfinite(next.value) && next.value >= here.value - 1e-12 * std::abs(here.value)) break;
    }
    if (std::abs(to.log_shape) > most_log_shape || !std::isfinite(next.value)) return std::nullopt;
    point = to;
    here = next;
    if (reach < 1e-9) return Highest{point, here.value, step};
  }
  return std::nullopt;
}

namespace {

// One unknown: Newton where the value curves down, halved while it falls.
template <typename At>
std::optional<double> climbed(double x, const At& at) {
  auto here = at(x);
  for (int step = 0; step < most_steps; ++step) {
    const double move = std::clamp(
        here.curve < 0 ? -here.slope / here.curve : here.slope / (std::abs(here.curve) + 1), -1.0, 1.0);
    double part = 1;
    auto next = here;
    for (int halving = 0; halving < 40; ++halving, part *= 0.5) {
      next = at(x + part * move);
      if (std::isfinite(next.value) && next.value >= here.value - 1e-12 * std::abs(here.value)) break;
    }
    if (!std::isfinite(next.value)) return std::nullopt;
    x += part * move;
    here = next;
    // The value's own error is of second order in what is left of the way.
    if (std::abs(move) < 1e-6) return here.value;
  }
  return std::nullopt;
}

struct Along {
  double value, slope, curve;
};

}  // namespace

std::optional<double> WeibullLikelihood::highest_at_shape(double log_shape, double start_log_scale) const {
  return climbed(start_log_scale, [&](double log_scale) {
    const Slopes here = at({log_scale, log_shape});
    return Along{here.value, here.s, here.ss};
  });
}

std::optional<double> WeibullLikelihood::highest_at_quantile(double log_time, double offset,
                                                             double start_log_shape) const {
  return climbed(start_log_shape, [&](double log_shape) {
    // ds/db = offset/shape, its own derivative -offset/shape.
    const double along = offset * std::exp(-log_shape);
    const Slopes here = at({log_time - along, log_shape});
    return Along{here.value, here.s * along + here.b,
                 here.ss * along * along + 2 * here.sb * along + here.bb - here.s * along};
  });
}

}  // namespace boxfettle
