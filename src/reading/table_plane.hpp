// What of a scan is the part, and what is strays and the flat it stood on. Where that flat touches the part
// its points lie as near to the surface as the part's own, and would be read as a fin or as wear.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "geometry/closest_point.hpp"
#include "geometry/point_cloud.hpp"
#include "geometry/rigid_pose.hpp"

namespace boxfettle {

// The plane normal . p = offset in design coordinates; the part lies on the side the normal points to.
struct TablePlane {
  Eigen::Vector3d normal;
  double offset_mm;
  double thickness_mm;  // points this near to it belong to it
};

// `hits` are infinite where the design is out of reach; the table is looked for among those, by Fischler and
// Bolles' random sampling (CACM 24, 1981) with a fixed seed. Found only when it holds a quarter of them and a
// hundredth of all points, and the whole part lies to one side of it.
std::optional<TablePlane> table_plane(const PointCloud& cloud, const std::vector<SurfaceHit>& hits,
                                      const RigidPose& design_from_scan);

// Takes what is out of reach, and the table's points with those beyond it, out of the cloud and the hits;
// returns how many.
std::size_t keep_the_part(PointCloud& cloud, std::vector<SurfaceHit>& hits, const RigidPose& design_from_scan,
                          const std::optional<TablePlane>& table);

}  // namespace boxfettle
