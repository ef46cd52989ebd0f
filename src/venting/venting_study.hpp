// Will this box cure, which vent matters most to its worst place, and how far may each plug?
//
// What it is: a comparison of states of one box by the steady flow of gas through the packed core, and of
// places where air is shut in while it fills. What it is not: a simulation of the sand's motion, of binder
// chemistry, or of the first instants of gassing.
#pragma once

#include "venting/air_pockets.hpp"
#include "venting/cavity_picture.hpp"
#include "venting/plug_responses.hpp"
#include "venting/vent_places.hpp"
#include "venting/venting_box.hpp"

namespace boxfettle {

enum class VentingVerdict { fit, watch, hold, cannot_tell };
std::string_view name(VentingVerdict verdict);  // "fit", "watch", "hold", "cannot-tell"

struct VentStanding {
  std::string id;
  Eigen::Vector3d at_mm;
  double diameter_mm = 0;
  double mass_flow_kg_s = 0;
  double share = 0;  // of all that leaves
  double sensitivity =
      0;                  // share by which the part reached last is reached later per share of open area lost
  double plugged = 0;     // as found
  double plug_limit = 1;  // the others as found; 1: may be shut altogether
  // Minutes until the limit is reached: from clean, and from as found. Hourly without a plugging rate, and
  // then nothing is said of the time from as found.
  double clean_every_min = 0;
  std::optional<double> clean_within_min;
  std::string cleaning_origin;
  double drowns_at_fill = 0;  // share of the cavity that is full when the front reaches it
  // The box at other states of this vent, the others as found; one step is the vent as found. Worked out on
  // coarser voxels and scaled so that the step as found agrees with the study itself.
  std::vector<PlugStep> when_plugged;
};

struct VentingStudy {
  double mass_flow_kg_s = 0;
  std::vector<VentStanding> vents;
  double leak_kg_s = 0, leak_share = 0;
  struct {
    double p50 = 0, p95 = 0, max = 0;
  } residence_s;
  double worst_age_s = 0;           // geometric mean over the part of the core that is reached last
  double worst_age_designed_s = 0;  // the same with clean vents and a shut box
  double limit_s = 0;
  Eigen::Vector3d worst_at_mm = Eigen::Vector3d::Zero();
  double unpurged_fraction = 0;  // of the pore space, that still holds its first air after the gassing time
  std::vector<AirPocket> pockets;
  std::vector<VentPlace> places;  // for one more vent, best first; the leading ones solved
  double balance_error = 0;
  double inertia_share = 0;
  double voxel_mm = 0, coarse_voxel_mm = 0;
  std::size_t voxels = 0;
  double permeability_m2 = 0;
  VentingLines lines;
  VentingVerdict verdict = VentingVerdict::cannot_tell;
  std::vector<std::string> reasons, notes;
  std::optional<CavityPicture> picture;  // when VentingSettings::picture_cells asks for one
};

// Throws InputError as VentingBox does, and when every vent is plugged and nothing leaks; VentingCancelled
// when the settings' `progress` said stop.
VentingStudy study_venting(const TriangleMesh& design, const CoreBox& box, const VentingSettings& settings);

}  // namespace boxfettle
