// The parting face of a scanned half: its form and place against the cavity, and the damage on it.
#pragma once

#include <span>
#include <vector>

#include "reading/face_cells.hpp"
#include "reading/half_design.hpp"
#include "reading/half_figures.hpp"
#include "reading/patches.hpp"
#include "reading/pose_fit.hpp"

namespace boxfettle {

// A dent or raised metal, told against the face's own smooth form.
struct FaceDamage {
  Patch patch;              // depth and volume positive where metal is missing, negative where it stands up
  double to_cavity_mm = 0;  // of its nearest part; OutlineMap::known_mm at most
};

struct MeasuredFace {
  PartingFaceReading reading;
  SlopedPlane plane;  // height out of the tool over the design's parting plane
  double noise_mm = 0;
  std::vector<FaceDamage> damage;  // deepest first
  FaceCells cells;
  std::vector<float>
      off_plane_mm;  // of each square: mean height over the design's parting plane; NaN where not seen
};

// `points`: the scan's, laid on the design by the cavity's pose, that may be face and lie within reach of it.
// `cavity`: that pose, for its covariance about `pivot_mm`. `floor_mm`: a place shallower than this is no
// damage.
MeasuredFace measured_face(const HalfDesign& design, std::span<const DowelZone> dowels,
                           std::span<const FacePoint> points, const PoseFit& cavity,
                           const Eigen::Vector3d& pivot_mm, double floor_mm);

}  // namespace boxfettle
