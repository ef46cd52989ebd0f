// TM-0412: the water passage of a pump, a spiral that grows towards a tangential outlet, round a disc and a
// hub.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "demo/box_fittings.hpp"
#include "demo/invented_cores.hpp"
#include "demo/smooth_solids.hpp"
#include "geometry/implicit_mesh.hpp"

namespace boxfettle::demo {
namespace {

using Eigen::Vector3d;
using std::numbers::pi;

constexpr double default_cell_mm = 1.15;

// The spiral runs counter-clockwise seen from above, from the tongue to where the neck leaves along +x.
constexpr double tongue_rad = -60 * pi / 180, throat_rad = 270 * pi / 180;

double passage_radius_mm(double turn) {
  return std::lerp(11.0, 27.0, turn);
}
double spiral_radius_mm(double turn) {
  return 82 + 0.9 * passage_radius_mm(turn);
}

double spiral_to(const Vector3d& p, double angle_rad) {
  const double angle = std::clamp(angle_rad, tongue_rad, throat_rad);
  const double turn = (angle - tongue_rad) / (throat_rad - tongue_rad);
  const double reach = spiral_radius_mm(turn);
  // A little flatter below the parting than above: the lower half then cannot pass for the upper.
  const double rise = p.z() < 0 ? p.z() * 1.10 : p.z();
  return std::hypot(p.x() - reach * std::cos(angle), p.y() - reach * std::sin(angle), rise) -
         passage_radius_mm(turn);
}

// Each place has one angle within the spiral and others a turn away that fall on its ends: the nearest
// counts.
double spiral(const Vector3d& p) {
  const double angle = std::atan2(p.y(), p.x());
  return std::min({spiral_to(p, angle - 2 * pi), spiral_to(p, angle), spiral_to(p, angle + 2 * pi)});
}

double volute(const Vector3d& p) {
  const double throat_y = -spiral_radius_mm(1);
  double solid = spiral(p);
  solid = blended(solid, taper(p, {0, throat_y, 0}, {146, throat_y, 0}, passage_radius_mm(1), 30), 6);
  solid = blended(solid, rod(p, {140, throat_y, 0}, {176, throat_y, 0}, 34, 3), 3);  // outlet print
  solid = blended(solid, rod(p, {0, 0, -13}, {0, 0, 14}, 92, 4), 5);                 // impeller disc
  solid = blended(solid, rod(p, {0, 0, -41}, {0, 0, 0}, 38, 3), 4);                  // lower print
  solid = blended(solid, rod(p, {0, 0, 0}, {0, 0, 39}, 30, 3), 4);                   // upper print
  solid = blended(solid, rod(p, {-58, 34, 10}, {-58, 34, 25}, 13, 3), 4);            // boss, upper half only
  solid = blended(solid, brick(p, {46, 52, -16}, {17, 11, 6}, 3), 4);                // pad, lower half only
  return solid;
}

Bounds room() {
  Bounds box;
  box.include({-132, -140, -46});
  box.include({182, 126, 46});
  return box;
}

void fit_out(CoreBox& box, const TriangleMesh& design) {
  box.dowels = {round_dowel("D1", {-160, -105}, 16.00, 16.05),
                slot_dowel("D2", {175, 100}, 16.00, 16.04, {335, 205}, 22),
                round_dowel("D3", {-150, 120}, 12.00, 12.25)};
  box.watch_points = {{"W1 tongue", {62, -72}}, {"W2 outlet", {160, -106}}, {"W3 far side", {-124, 10}}};
  box.gap_readings = {{{-165, -60}, 0.03, 0.06}, {{-150, 90}, 0.04, 0.08}, {{0, 135}, 0.05, 0.10},
                      {{150, 60}, 0.06, 0.12},   {{190, -60}, 0.05, 0.10}, {{0, -150}, 0.03, 0.07}};
  set_toggles(box, {{-150, 0}, {0, 145}, {150, 20}, {60, -155}}, 8000);
  set_vents(box, design,
            {{-58, 34, 25},
             {0, 92, 20},
             {-110, 30, 22},
             {-70, -80, 25},
             {60, -106, 30},
             {120, -106, 30},
             {84, 38, -18},
             {-96, -50, -24},
             {30, -110, -26},
             {46, 52, -22}},
            8);
  set_blow_inlets(box, design, {{0, 0, 39}, {158, -106, 34}}, 16);
  box.air = {
      .blow_bar = 3.0, .magazine_litre = 25, .gas_bar = 1.5, .gas_temperature_C = 40, .gas_seconds = 6};
  box.sand = {.grain_fineness = 55, .bulk_density_g_cm3 = 1.55, .permeability_number = {}};
}

}  // namespace

InventedCore pump_volute(double cell_mm) {
  InventedCore core{box_parted_at_zero("TM-0412", "Pump volute core"), {}};
  // The spiral's radius and section change along its length, which makes the function a little steeper than a
  // distance.
  core.design = mesh_of_implicit(volute, room(),
                                 {.cell_mm = cell_mm > 0 ? cell_mm : default_cell_mm, .steepest_slope = 1.3});
  fit_out(core.box, core.design);
  return core;
}

}  // namespace boxfettle::demo
