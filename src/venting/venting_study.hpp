// Will this box cure, which vent matters most to its worst place, and how far may each plug?
//
// What it is: a comparison of states of one box by the steady flow of gas through the packed core, and of
// places where air is shut in while it fills. What it is not: a simulation of the sand's motion, of binder
// chemistry, or of the first instants of gassing.
#pragma once

#include "venting/air_pockets.hpp"
#include "venting/venting_box.hpp"

namespace boxfettle {

enum class VentingVerdict { fit, watch, hold, cannot_tell };
std::string_view name(VentingVerdict verdict);  // "fit", "watch", "hold", "cannot-tell"

struct VentStanding {
  std::string id;
  Eigen::Vector3d at_mm;
  double mass_flow_kg_s = 0;
  double share = 0;        // of all that leaves
  double sensitivity = 0;  // share by which the worst twentieth is reached later per share of open area lost
  double plugged = 0;      // as found
  double plug_limit = 1;   // the others as found; 1: may be shut altogether
  double clean_every_min = 0;
  double drowns_at_fill = 0;  // share of the cavity that is full when the front reaches it
};

struct BetterPlace {
  Eigen::Vector3d where_mm;
  double saves_share;  // of the worst twentieth's age, by a vent like the box's mean one; solved, not guessed
};

struct VentingStudy {
  double mass_flow_kg_s = 0;
  std::vector<VentStanding> vents;
  double leak_kg_s = 0, leak_share = 0;
  struct {
    double p50 = 0, p95 = 0, max = 0;
  } residence_s;
  double worst_age_s = 0;           // geometric mean over the twentieth of the core that is reached last
  double worst_age_designed_s = 0;  // the same with clean vents and a shut box
  double limit_s = 0;
  Eigen::Vector3d worst_at_mm = Eigen::Vector3d::Zero();
  double unpurged_fraction = 0;  // of the pore space, that still holds its first air after the gassing time
  std::vector<AirPocket> pockets;
  std::vector<BetterPlace> better_places;
  double balance_error = 0;
  double inertia_share = 0;
  double voxel_mm = 0;
  std::size_t voxels = 0;
  double permeability_m2 = 0;
  bool cleaning_by_practice = true;
  VentingVerdict verdict = VentingVerdict::cannot_tell;
  std::vector<std::string> reasons, notes;
};

// Throws InputError as VentingBox does, and when every vent is plugged and nothing leaks.
VentingStudy study_venting(const TriangleMesh& design, const CoreBox& box, const VentingSettings& settings);

// When a place with no way through is put under pressure p1, its first air shrinks by p0 / p1: gas takes the
// rest.
double swept_share_of_dead_end(double before_pa, double after_pa);

}  // namespace boxfettle
