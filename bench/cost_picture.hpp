// What a reading costs against points and against triangles, drawn with both scales logarithmic: as SVG.
#pragma once

#include <string>
#include <vector>

namespace boxfettle::bench {

struct Cost {
  double size;  // points, or triangles
  double pass_ms, whole_ms;
};

std::string cost_picture(const std::vector<Cost>& against_points, const std::vector<Cost>& against_triangles);

}  // namespace boxfettle::bench
