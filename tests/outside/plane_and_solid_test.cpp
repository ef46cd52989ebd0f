// Areas, volumes and plane sections of meshed solids against closed forms.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <iostream>
#include <numbers>
#include <string>

#include "geometry/implicit_mesh.hpp"
#include "geometry/plane_section.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;
using std::numbers::pi;

struct KnownSolid {
  std::string name;
  ImplicitSolid solid;
  Vector3d half_room_mm;
  double area_mm2, volume_mm3, section_mm2;  // the section at z = section_z_mm
};

constexpr double section_z_mm = 1.3;
const Vector3d centre_mm(0.13, -0.21, 0.37);  // no symmetry with the grid

// Surface 4 pi r^2 and volume 4/3 pi r^3: Archimedes, On the Sphere and Cylinder I, propositions 33 and 34
// (numbers of the propositions from memory). Section at height h: a circle of radius sqrt(r^2 - h^2), by
// Pythagoras.
KnownSolid ball() {
  const double r = 10, h = section_z_mm - centre_mm.z();
  return {"ball",
          [=](const Vector3d& p) { return (p - centre_mm).norm() - r; },
          Vector3d::Constant(12),
          4 * pi * r * r,
          4 / 3.0 * pi * r * r * r,
          pi * (r * r - h * h)};
}

// Surface 4 pi^2 R r and volume 2 pi^2 R r^2: Pappus's centroid theorem, the circle's rim and its face
// carried once around (Weisstein, "Torus", MathWorld). Section at height h: a ring of radii R -+ sqrt(r^2 -
// h^2), hence 4 pi R sqrt(r^2 - h^2).
KnownSolid torus() {
  const double ring = 9, r = 3.5, h = section_z_mm - centre_mm.z();
  const auto distance = [=](const Vector3d& at) {
    const Vector3d p = at - centre_mm;
    return std::hypot(std::hypot(p.x(), p.y()) - ring, p.z()) - r;
  };
  return {"torus",
          distance,
          Vector3d(14, 14, 5),
          4 * pi * pi * ring * r,
          2 * pi * pi * ring * r * r,
          4 * pi * ring * std::sqrt(r * r - h * h)};
}

// A cylinder of length l along x with a half ball on each end: the cylinder's mantle 2 pi r l and volume
// pi r^2 l (Euclid, Elements XII, for the volume; propositions from memory) and the ball's as above. Section
// at height h, with c = sqrt(r^2 - h^2): a rectangle 2 c l and two half circles, pi c^2.
KnownSolid round_ended_rod() {
  const double length = 13, r = 5, h = section_z_mm - centre_mm.z();
  const double c = std::sqrt(r * r - h * h);
  const auto distance = [=](const Vector3d& at) {
    Vector3d p = at - centre_mm;
    p.x() -= std::clamp(p.x(), -length / 2, length / 2);
    return p.norm() - r;
  };
  return {"round-ended rod",
          distance,
          Vector3d(13, 7, 7),
          2 * pi * r * length + 4 * pi * r * r,
          pi * r * r * length + 4 / 3.0 * pi * r * r * r,
          2 * c * length + pi * c * c};
}

struct RelativeErrors {
  double area, volume, section;
};

RelativeErrors relative_errors(const KnownSolid& known, double cell_mm) {
  Bounds room;
  room.include(-known.half_room_mm);
  room.include(known.half_room_mm);
  const TriangleMesh mesh = mesh_of_implicit(known.solid, room, {.cell_mm = cell_mm, .steepest_slope = 1});
  const SectionArea section =
      section_area(plane_section(mesh, Vector3d::UnitZ(), section_z_mm), Vector3d::UnitZ());
  return {std::abs(area_mm2(mesh) / known.area_mm2 - 1),
          std::abs(enclosed_volume_mm3(mesh) / known.volume_mm3 - 1),
          std::abs(section.area_mm2 / known.section_mm2 - 1)};
}

// The error of a method of order n falls as cell^n. Over an eightfold finer cell, the chance of how the grid
// falls on the solid weighs little.
double order(double coarse_error, double fine_error, double refinement) {
  return std::log(coarse_error / fine_error) / std::log(refinement);
}

class MeshedSolid : public testing::TestWithParam<KnownSolid (*)()> {};

TEST_P(MeshedSolid, AreaVolumeAndSectionCloseInOnTheClosedFormWithTheSquareOfTheCell) {
  const KnownSolid known = GetParam()();
  const double coarse_mm = 1.0, fine_mm = 0.125;
  const RelativeErrors coarse = relative_errors(known, coarse_mm), fine = relative_errors(known, fine_mm);
  const double refinement = coarse_mm / fine_mm;
  const RelativeErrors orders = {order(coarse.area, fine.area, refinement),
                                 order(coarse.volume, fine.volume, refinement),
                                 order(coarse.section, fine.section, refinement)};
  std::cout << known.name << ": order of area " << orders.area << ", volume " << orders.volume << ", section "
            << orders.section << "; errors at " << fine_mm << " mm " << fine.area << ", " << fine.volume
            << ", " << fine.section << " of the value\n";
  EXPECT_GT(orders.area, 1.8);
  EXPECT_GT(orders.volume, 1.8);
  EXPECT_GT(orders.section, 1.8);
  // A chord of length s on radius r stands s^2 / (8 r) inside: with s of two cells and r of 3.5 mm that
  // is 6.4e-4 of r. Areas go with r^2, so relative errors stay below twice that.
  EXPECT_LT(fine.area, 1.3e-3);
  EXPECT_LT(fine.volume, 1.3e-3);
  EXPECT_LT(fine.section, 1.3e-3);
}

INSTANTIATE_TEST_SUITE_P(Known, MeshedSolid, testing::Values(&ball, &torus, &round_ended_rod));

}  // namespace
}  // namespace boxfettle
