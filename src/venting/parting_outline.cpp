#include "venting/parting_outline.hpp"

#include "geometry/plane_section.hpp"

namespace boxfettle {

std::vector<OutlinePiece> parting_outline(const TriangleMesh& design, const PartingFace& parting) {
  std::vector<OutlinePiece> pieces;
  for (const SectionLine& line :
       plane_section(design, parting.normal, parting.normal.dot(parting.point_mm))) {
    const std::size_t count = line.points_mm.size();
    for (std::size_t i = 0; i + (line.closed ? 0 : 1) < count; ++i) {
      const Eigen::Vector3d &from = line.points_mm[i], &to = line.points_mm[(i + 1) % count];
      const double length = (to - from).norm();
      if (length > 0) pieces.push_back({0.5 * (from + to), length});
    }
  }
  return pieces;
}

}  // namespace boxfettle
