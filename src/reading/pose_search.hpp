// Where the scan lies, from no guess at all.
//
// Pairs of points with their normals are compared by four numbers that no motion changes (distance and three
// angles); a scan pair that looks like a design pair votes for the pose that lays one over the other. After
// Drost, Ulrich, Navab and Ilic, "Model Globally, Match Locally", CVPR 2010. Scan normals carry no sign, so
// both are tried. The best-voted poses are then fitted to the surface itself and judged by it.
#pragma once

#include <optional>
#include <vector>

#include "geometry/near_surface_grid.hpp"
#include "geometry/point_cloud.hpp"
#include "geometry/rigid_pose.hpp"
#include "reading/design_surface.hpp"

namespace boxfettle {

struct PoseCandidate {
  RigidPose design_from_scan;
  double misfit_mm = 0;     // mean distance of the judged points to the surface, each capped at `reach_mm`
  double misfit_sd_mm = 0;  // standard error of the above
  double fitting_fraction = 0;  // of the judged points nearer than the cap
};

struct PoseSearch {
  std::vector<PoseCandidate> candidates;  // best first, mutually distinct; at least one
  bool ambiguous = false;                 // another pose fits as well as the data can tell
  bool settled = false;                   // it did, and `rough` told which one is meant
  double reach_mm = 0;
  double doubt_mm = 0;  // misfits nearer together than this cannot be told apart
};

// `cloud` in mm. `rough`, where given, is tried as well, and chooses among poses that fit alike if it lies
// near one of them: it may have been told for scans in another frame. Throws InputError("scan", ...) with
// fewer than 100 usable points.
PoseSearch search_pose(const DesignSurface& design, const PointCloud& cloud,
                       const std::optional<RigidPose>& rough = std::nullopt);

// As fine as the search wants it; one grid serves all searches on a design.
NearSurfaceGrid search_grid(const DesignSurface& design);

// The same from starts that were found otherwise (`rough` or at least one): each fitted and judged in rounds,
// worse ones dropped.
PoseSearch best_of(const DesignSurface& design, const NearSurfaceGrid& grid, const PointCloud& cloud,
                   std::vector<RigidPose> starts, const std::optional<RigidPose>& rough = std::nullopt);

}  // namespace boxfettle
