// TM-0455: the bore of a valve body, stepped along x, with a branch, two seats and two bosses made by loose
// pieces.
#include "demo/box_fittings.hpp"
#include "demo/invented_cores.hpp"
#include "demo/smooth_solids.hpp"
#include "geometry/implicit_mesh.hpp"

namespace boxfettle::demo {
namespace {

using Eigen::Vector3d;

constexpr double default_cell_mm = 0.9;

double bore(const Vector3d& p) {
  double solid = rod(p, {-122, 0, 0}, {-84, 0, 0}, 27, 3);  // inlet print
  solid = blended(solid, rod(p, {-90, 0, 0}, {-46, 0, 0}, 22, 3), 3);
  solid = blended(solid, rod(p, {-52, 0, 0}, {14, 0, 0}, 33, 4), 4);       // chamber
  solid = blended(solid, rod(p, {-49, 0, 0}, {-40, 0, 0}, 40, 2.5), 2.5);  // first seat step
  solid = blended(solid, rod(p, {6, 0, 0}, {15, 0, 0}, 37, 2.5), 2.5);     // second seat step
  solid = blended(solid, rod(p, {10, 0, 0}, {66, 0, 0}, 26, 3), 3);
  solid = blended(solid, rod(p, {60, 0, 0}, {96, 0, 0}, 19, 3), 3);
  return blended(solid, rod(p, {90, 0, 0}, {120, 0, 0}, 23, 3), 3);  // outlet print
}

double valve_body(const Vector3d& p) {
  double solid = bore(p);
  solid = blended(solid, taper(p, {-16, 0, 0}, {-16, 52, 0}, 20, 17), 6);    // branch
  solid = blended(solid, rod(p, {-16, 50, 0}, {-16, 74, 0}, 21, 3), 3);      // branch print
  solid = blended(solid, rod(p, {-16, 0, 20}, {-16, 0, 51}, 12, 3), 4);      // upper print
  solid = blended(solid, brick(p, {-22, 0, -38}, {19, 13, 11}, 3), 4);       // foot below
  solid = blended(solid, rod(p, {40, -16, 12}, {40, -46, 12}, 9, 2.5), 3);   // boss of the first loose piece
  return blended(solid, rod(p, {-68, -10, -9}, {-68, -42, -9}, 8, 2.5), 3);  // boss of the second
}

Bounds room() {
  Bounds box;
  box.include({-127, -52, -54});
  box.include({125, 79, 56});
  return box;
}

void fit_out(CoreBox& box, const TriangleMesh& design) {
  box.dowels = {round_dowel("D1", {-145, -60}, 12.00, 12.04), round_dowel("D2", {140, 65}, 12.00, 12.06)};
  box.watch_points = {{"W1 first seat", {-45, 38}}, {"W2 second seat", {10, -35}}, {"W3 branch", {-16, 60}}};
  box.gap_readings = {{{-140, 40}, 0.02, 0.05}, {{0, 95}, 0.03, 0.07},  {{140, 30}, 0.04, 0.08},
                      {{140, -50}, 0.05, 0.10}, {{0, -75}, 0.03, 0.07}, {{-140, -30}, 0.02, 0.05}};
  set_toggles(box, {{-130, 60}, {130, -60}, {60, 80}, {-60, -75}}, 5000);
  set_vents(box, design,
            {{-104, 0, 27},
             {-45, 0, 40},
             {-16, 40, 18},
             {10, 0, 37},
             {40, 6, 26},
             {78, 0, 19},
             {-68, 0, -22},
             {-22, 0, -49},
             {38, 0, -26},
             {105, 0, -23}},
            6);
  set_blow_inlets(box, design, {{-16, 0, 51}, {-16, 74, 0}}, 12);
  box.air = {
      .blow_bar = 2.8, .magazine_litre = 15, .gas_bar = 1.5, .gas_temperature_C = 40, .gas_seconds = 5};
  box.sand = {.grain_fineness = 60, .bulk_density_g_cm3 = 1.54, .permeability_number = {}};
  box.loose_pieces = {{"LP1", "Drain boss former", {29, -48, 1}, {51, -24, 23}},
                      {"LP2", "Pressure tap former", {-78, -44, -19}, {-58, -20, -0.5}}};
}

}  // namespace

InventedCore stepped_valve_body(double cell_mm) {
  InventedCore core{box_parted_at_zero("TM-0455", "Stepped valve body core"), {}};
  core.design = mesh_of_implicit(valve_body, room(),
                                 {.cell_mm = cell_mm > 0 ? cell_mm : default_cell_mm, .steepest_slope = 1.1});
  fit_out(core.box, core.design);
  return core;
}

}  // namespace boxfettle::demo
