// TM-0427: a thin water jacket wrapped round three barrels, ribbed outside, carried on prints.
#include <algorithm>
#include <array>
#include <cmath>

#include "demo/box_fittings.hpp"
#include "demo/invented_cores.hpp"
#include "demo/smooth_solids.hpp"
#include "geometry/implicit_mesh.hpp"

namespace boxfettle::demo {
namespace {

using Eigen::Vector3d;

constexpr double default_cell_mm = 1.2;

struct Barrel {
  double x_mm, outer_mm, bore_mm;
};
// One end smaller than the other: the jacket turned end for end is another jacket.
constexpr std::array<Barrel, 3> barrels{{{-82, 45, 35.5}, {0, 45, 35.5}, {80, 42, 33}}};

double outer_wall(const Vector3d& p) {
  double wall = 1e9;
  for (const Barrel& barrel : barrels)
    wall = blended(wall, rod(p, {barrel.x_mm, 0, -48}, {barrel.x_mm, 0, 46}, barrel.outer_mm, 3), 10);
  return wall;
}

double bores(const Vector3d& p) {
  double nearest = 1e9;
  for (const Barrel& barrel : barrels)
    nearest = std::min(nearest, std::hypot(p.x() - barrel.x_mm, p.y()) - barrel.bore_mm);
  return nearest;
}

// Half-round fins up the outside, some in one half only, and a girth rib round the upper half.
double ribs(const Vector3d& p, double wall) {
  double solid = std::hypot(wall, p.z() - 24) - 4.5;
  solid = std::min(solid, taper(p, {-82, 45, -40}, {-82, 45, 38}, 5, 5));
  solid = std::min(solid, taper(p, {0, 45, -40}, {0, 45, 38}, 5, 5));
  solid = std::min(solid, taper(p, {80, 42, -40}, {80, 42, -6}, 5, 5));
  solid = std::min(solid, taper(p, {-110, -35.2, -40}, {-110, -35.2, 38}, 5, 5));
  solid = std::min(solid, taper(p, {20, -40.3, -40}, {20, -40.3, 38}, 5, 5));
  return std::min(solid, taper(p, {121, 8, -38}, {121, 8, 36}, 6, 5));
}

double jacket(const Vector3d& p) {
  const double wall = outer_wall(p);
  double solid = blended(wall, ribs(p, wall), 4);
  solid = blended(solid, rod(p, {-41, 28, 4}, {-41, 82, 4}, 13, 3), 5);  // side prints
  solid = blended(solid, rod(p, {42, 28, 4}, {42, 82, 4}, 13, 3), 5);
  solid = blended(solid, rod(p, {-60, -34, -6}, {-60, -78, -6}, 15, 3), 5);
  solid = blended(solid, rod(p, {-41, 30, 30}, {-41, 30, 57}, 8, 2.5), 4);  // deck prints
  solid = blended(solid, rod(p, {41, -30, 30}, {41, -30, 57}, 8, 2.5), 4);
  solid = blended(solid, rod(p, {118, -14, -30}, {118, -14, -53}, 9, 2.5), 4);
  return common(solid, -bores(p), 3);
}

Bounds room() {
  Bounds box;
  box.include({-137, -84, -58});
  box.include({137, 88, 62});
  return box;
}

void fit_out(CoreBox& box, const TriangleMesh& design) {
  box.dowels = {round_dowel("D1", {-165, 0}, 14.00, 14.03),
                slot_dowel("D2", {165, 0}, 14.00, 14.03, {1, 0}, 20)};
  box.watch_points = {{"W1 web 1-2", {-41, 0}}, {"W2 web 2-3", {40, 0}}, {"W3 end wall", {122, 0}}};
  box.gap_readings = {{{-150, 60}, 0.04, 0.09}, {{0, 100}, 0.06, 0.13}, {{150, 60}, 0.05, 0.12},
                      {{150, -60}, 0.03, 0.08}, {{0, -95}, 0.04, 0.09}, {{-150, -60}, 0.02, 0.06}};
  set_bolts(box, {{-120, 105}, {120, 105}, {-120, -100}, {120, -100}}, "M12", "8.8", 60);
  set_vents(box, design,
            {{-82, 41, 46},
             {-41, 8, 46},
             {0, -41, 46},
             {40, 8, 46},
             {80, -38, 46},
             {122, 0, 30},
             {-127, 0, 20},
             {-82, -41, -48},
             {-41, -8, -48},
             {0, 41, -48},
             {40, -8, -48},
             {80, 38, -48}},
            6);
  set_blow_inlets(box, design, {{-41, 30, 57}, {41, -30, 57}}, 12);
  box.air = {
      .blow_bar = 3.5, .magazine_litre = 20, .gas_bar = 1.8, .gas_temperature_C = 45, .gas_seconds = 8};
  box.sand = {.grain_fineness = 65, .bulk_density_g_cm3 = 1.52, .permeability_number = 120};
}

}  // namespace

InventedCore ribbed_jacket(double cell_mm) {
  InventedCore core{box_parted_at_zero("TM-0427", "Ribbed jacket core"), {}};
  // The girth rib measures from the wall's own function, up to sqrt(2) steeper than a distance where both
  // slopes meet.
  core.design = mesh_of_implicit(
      jacket, room(), {.cell_mm = cell_mm > 0 ? cell_mm : default_cell_mm, .steepest_slope = 1.42});
  fit_out(core.box, core.design);
  return core;
}

}  // namespace boxfettle::demo
