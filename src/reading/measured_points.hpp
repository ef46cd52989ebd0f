// The single points of one reading, laid on the design: kept when a place has to be measured afterwards that
// only another scan showed to be worn.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <vector>

namespace boxfettle {

struct MeasuredPoint {
  Eigen::Vector3f at_design_mm;
  float deviation_mm;      // what is left when each half stands on its own pose
  std::uint32_t triangle;  // of ScanReading::surface
};

struct MeasuredPoints {
  std::vector<MeasuredPoint> points;
  double noise_mm = 0;  // one standard deviation of a single point
  double drift_mm = 0;  // and of what neighbouring points share
};

}  // namespace boxfettle
