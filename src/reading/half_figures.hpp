// What a scan of one half of the box gives besides its cavity: the parting face, and the dowels in it.
// Lengths in mm. The frame is the cavity's: it was laid on the design, and face and dowels are told against
// it.
#pragma once

#include <Eigen/Core>
#include <string>

namespace boxfettle {

struct PartingFaceReading {
  bool told = false;  // false: `why_not` says why
  std::string why_not;
  // Peak to valley about the least squares plane, and the least distance of two parallel planes that hold the
  // face: ISO 12781-1 (LSPL, MZPL) and ISO 1101 (flatness); definitions from memory. Of the face smoothed
  // over a few mm, without the places told as dents or raised metal.
  double flatness_ls_mm = 0, flatness_min_zone_mm = 0;
  double flatness_u95_mm = 0;
  Eigen::Vector2d tilt_deg = {0, 0};  // of the face against the design's parting plane, about its x and y
  Eigen::Vector3d centroid_mm = {0, 0, 0};  // of the core's outline at the parting
  double offset_mm = 0;                     // there; positive: the face stands proud, the cavity is too deep
  double offset_worst_mm = 0;               // furthest from zero over the outline, tilt included
  double tilt_u95_deg = 0, offset_u95_mm = 0;
  double coverage_fraction = 0;  // of the face inside the hull of what was seen
};

enum class DowelKind { pin, bore, slot };

struct DowelReading {
  std::string id;
  DowelKind kind = DowelKind::pin;
  bool told = false;
  std::string why_not;
  Eigen::Vector2d at_parting_mm = {0, 0};  // where pin or bore meets the face
  double diameter_mm = 0;                  // of a slot: its width across
  Eigen::Vector2d offset_mm = {0, 0};      // from the place in the box file; of a slot: across its axis only
  double nominal_mm = 0;                   // pin or bush size in the box file
  Eigen::Vector2d slot_axis = {1, 0};      // of a slot: as found
  double at_u95_mm = 0, diameter_u95_mm = 0;
};

}  // namespace boxfettle
