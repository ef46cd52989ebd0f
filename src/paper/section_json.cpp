#include "paper/section_json.hpp"

#include <cmath>

namespace boxfettle {
namespace {

double rounded(double mm) {
  return std::round(mm * 1000) / 1000;
}

nlohmann::json polylines_json(const std::vector<Polyline>& polylines, const PartingFace& parting) {
  nlohmann::json list = nlohmann::json::array();
  for (const Polyline& polyline : polylines) {
    nlohmann::json points = nlohmann::json::array();
    for (const Eigen::Vector3d& point_mm : polyline.points_mm) {
      const Eigen::Vector2d at_parting_mm = parting.at_parting_mm(point_mm);
      points.push_back({rounded(at_parting_mm.x()), rounded(at_parting_mm.y())});
    }
    list.push_back({{"closed", polyline.closed}, {"points_mm", std::move(points)}});
  }
  return list;
}

}  // namespace

nlohmann::json section_json(const PartingSection& section, const PartingFace& parting) {
  return {{"design", polylines_json(section.design, parting)},
          {"measured", polylines_json(section.measured, parting)}};
}

}  // namespace boxfettle
