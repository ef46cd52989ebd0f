// A number with the interval it is known to.
#pragma once

namespace boxfettle {

struct Estimate {
  double value = 0;
  double low = 0, high = 0;  // at the confidence that the caller asked for
};

}  // namespace boxfettle
