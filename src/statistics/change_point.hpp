// When did it change? After a signal: between which points a shift began, so that the cores made since can
// be named.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace boxfettle {

struct ChangePoint {
  std::size_t first;      // the most likely first point after the change
  std::size_t low, high;  // at the confidence asked for, the first changed point lies in [low, high]
  double shift;           // its size, in sigmas of a point
};

// Of one step in the mean of points given in sigmas from a known centre, the last of them the one that
// signalled; missing points are passed over. Most likely place: T. R. Samuel, J. J. Pignatiello and
// J. A. Calvin, "Identifying the Time of a Step Change with X-bar Control Charts", Quality Engineering 10
// (1998). Interval: the most probable places when every place and every size of shift was as likely
// beforehand. Empty when no point is there.
std::optional<ChangePoint> change_point(std::span<const std::optional<double>> sigmas, double confidence);

}  // namespace boxfettle
