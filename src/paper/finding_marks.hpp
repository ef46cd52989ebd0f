// Where a finding's number points to on a view of the core.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "paper/core_view.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

struct Mark {
  std::size_t finding;    // its place in the list, from 0
  Eigen::Vector2d at_px;  // in the view's picture
};

// The point of the finding that this view shows best: its own place when nothing hides it, else the nearest
// of its vertices that is seen. `worth` is larger the more squarely the place is seen; empty when hidden.
struct Sight {
  Eigen::Vector2d at_px;
  double worth;
};
std::optional<Sight> sight_of(const Finding& finding, const TriangleMesh& surface, const CoreView& view);

// For each of the first `count` findings the view that shows it best: marks of the first and of the second.
struct MarksOfViews {
  std::vector<Mark> first, second;
};
MarksOfViews marks_on(const CoreView& first, const CoreView& second, const ScanReading& reading,
                      std::size_t count);

// Heights for labels beside a picture, in the order of `wanted`: none nearer than `apart` to another, all
// within [low, high] when they fit there, each as near to its wish as a sweep gets it.
std::vector<double> spread_labels(const std::vector<double>& wanted, double apart, double low, double high);

}  // namespace boxfettle
