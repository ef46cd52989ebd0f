#include "paper/section_json.hpp"

#include <cmath>
#include <cstdio>

#include "reading/parting_section.hpp"

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

nlohmann::ordered_json lines_in_space(const std::vector<Polyline>& polylines) {
  nlohmann::ordered_json list = nlohmann::ordered_json::array();
  for (const Polyline& polyline : polylines) {
    nlohmann::ordered_json points = nlohmann::ordered_json::array();
    for (const Eigen::Vector3d& p : polyline.points_mm)
      points.push_back({rounded(p.x()), rounded(p.y()), rounded(p.z())});
    list.push_back({{"closed", polyline.closed}, {"points_mm", std::move(points)}});
  }
  return list;
}

std::vector<Polyline> seen_lines(const PartingSection& section) {
  std::vector<Polyline> seen;
  for (const Polyline& line : section.measured)
    for (Polyline& stretch : seen_stretches(line)) seen.push_back(std::move(stretch));
  return seen;
}

std::string lines_text(const char* what, const std::vector<Polyline>& lines) {
  double length = 0;
  for (const Polyline& line : lines) length += length_mm(line);
  char text[160];
  std::snprintf(text, sizeof text, "  %s   %zu %s, %.1f mm together\n", what, lines.size(),
                lines.size() == 1 ? "line" : "lines", length);
  return text;
}

}  // namespace

nlohmann::json section_json(const PartingSection& section, const PartingFace& parting) {
  return {{"design", polylines_json(section.design, parting)},
          {"measured", polylines_json(section.measured, parting)}};
}

nlohmann::ordered_json section_in_space_json(const PartingSection& section, const PartingFace& parting) {
  const auto three = [](const Eigen::Vector3d& v) { return std::vector<double>(v.begin(), v.end()); };
  return {{"plane_point_mm", three(parting.point_mm)},
          {"plane_normal", three(parting.normal)},
          {"design", lines_in_space(section.design)},
          {"measured", lines_in_space(seen_lines(section))}};
}

std::string section_text(const PartingSection& section) {
  return "Section at the parting face (points with --json)\n" + lines_text("design  ", section.design) +
         lines_text("measured", seen_lines(section));
}

}  // namespace boxfettle
