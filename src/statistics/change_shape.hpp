// Did the level jump or does it drift? A jump has a place, and the cores made since are suspect; a drift has
// a slope, and something wears, heats up or runs empty.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "statistics/estimate.hpp"

namespace boxfettle {

enum class ChangeShape { jump, drift, cannot_tell };

struct Drift {
  std::size_t from;       // the point from which it most likely drifts
  std::size_t low, high;  // at the confidence asked for it begins within [low, high]
  Estimate slope;         // sigmas of a point, per point
};

struct ShapeOfChange {
  ChangeShape shape = ChangeShape::cannot_tell;
  std::optional<Drift> drift;  // of a drift only
  double fit = 0;              // log likelihood of the better shape against points that scatter around nothing
  std::size_t points = 0;      // present ones
};

// Of points given in sigmas, missing ones passed over: a level and one jump, against a level and a straight
// line from some point on, each at its likeliest. Both have three parameters, so their likelihoods are
// compared as they are: one has to be `least_odds` times the other. The drift's slope and beginning are the
// most probable ones when every beginning, level and slope was as likely beforehand.
inline constexpr double least_odds = 10;
ShapeOfChange shape_of_change(std::span<const std::optional<double>> sigmas, double confidence);

}  // namespace boxfettle
