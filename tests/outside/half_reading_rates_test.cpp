// How often the figures of a half reading lie within the uncertainty stated with them.
#include <gtest/gtest.h>

#include <cmath>
#include <iostream>
#include <numbers>

#include "demo/invented_cores.hpp"
#include "demo/synthetic_half.hpp"
#include "reading/flatness.hpp"
#include "reading/half_reading.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;

constexpr double degrees = 180 / std::numbers::pi;

struct NamedCore {
  const char* name;
  demo::InventedCore core;
};

const std::vector<NamedCore>& cores() {
  static const std::vector<NamedCore> all{{"volute", demo::pump_volute(2.0)},
                                          {"jacket", demo::ribbed_jacket(2.0)},
                                          {"valve body", demo::stepped_valve_body(2.0)}};
  return all;
}

demo::Scanner scanner(std::uint64_t seed, std::size_t points = 150000) {
  demo::Scanner s;
  s.points = points;
  s.seed = seed;
  return s;
}

// A table, strays, and a corner of the block unseen.
demo::Scanner rough_scanner(std::uint64_t seed) {
  demo::Scanner s = scanner(seed);
  s.table = true;
  s.outlier_fraction = 0.01;
  s.unseen_fraction = 0.03;
  return s;
}

ScanReading read(const demo::ToolHalf& tool, const demo::Scanner& with) {
  return read_half(tool.design, demo::scan_half(tool, with).points, tool.half, tool.box);
}

const Finding* find(const ScanReading& reading, FindingKind kind) {
  for (const Finding& f : reading.findings)
    if (f.kind == kind) return &f;
  return nullptr;
}

// The flatness of the face as made, without its outermost few mm as the reading leaves them out.
struct TrueForm {
  double least_squares_mm, minimum_zone_mm, offset_mm;
  Vector2d tilt_deg;
};
TrueForm true_form(const demo::ToolHalf& tool, const Vector2d& centroid) {
  constexpr double edge_mm = 8,
                   step_mm = 4;  // the reading leaves out a square of some 5 mm and a part of one
  std::vector<FacePoint> face;
  for (double x = tool.low_mm.x() + edge_mm; x <= tool.high_mm.x() - edge_mm; x += step_mm)
    for (double y = tool.low_mm.y() + edge_mm; y <= tool.high_mm.y() - edge_mm; y += step_mm)
      if (tool.on_face({x, y})) face.push_back({{x, y}, tool.face_form_mm({x, y})});
  const SlopedPlane plane = least_squares_plane(face);
  const double up = tool.half == Half::lower ? degrees : -degrees;  // a bow over an uneven outline leans, too
  return {peak_to_valley_mm(face, plane), minimum_zone(face).width_mm, plane.at(centroid),
          up * Vector2d(plane.slope.y(), -plane.slope.x())};
}

// A place on the face with nothing but face for `clear_mm` about it, the nearest one to `near`.
Vector2d clear_place(const demo::ToolHalf& tool, const Vector2d& near, double clear_mm) {
  Vector2d best = near;
  double best_mm = 1e300;
  for (double x = tool.low_mm.x() + 2 * clear_mm; x < tool.high_mm.x() - 2 * clear_mm; x += 2)
    for (double y = tool.low_mm.y() + 2 * clear_mm; y < tool.high_mm.y() - 2 * clear_mm; y += 2) {
      bool clear = (Vector2d(x, y) - near).norm() < best_mm;
      for (int k = 0; clear && k < 16; ++k) {
        const double angle = k * std::numbers::pi / 8;
        clear = tool.on_face(Vector2d(x, y) + clear_mm * Vector2d(std::cos(angle), std::sin(angle))) &&
                tool.on_face(Vector2d(x, y) + 0.5 * clear_mm * Vector2d(std::cos(angle), std::sin(angle)));
      }
      if (!clear) continue;
      best = {x, y};
      best_mm = (best - near).norm();
    }
  return best;
}

// One of everything, each more than a reading of 150,000 points can miss.
struct FaultyHalf {
  const demo::InventedCore& core;
  Half half;
  demo::HalfFaults faults;
  Vector2d dent_at, burr_at;

  FaultyHalf(const demo::InventedCore& of, Half which) : core(of), half(which) {
    faults.face_offset_mm = 0.06;
    faults.face_tilt_deg = {0.02, -0.015};
    faults.bow_mm = 0.09;
    faults.twist_mm = 0.05;
    faults.dowels = {{core.box.dowels[0].id, {0.15, -0.11}, half == Half::lower ? -0.12 : 0.12}};
    const demo::ToolHalf tool(core.design, core.box, half, faults);
    dent_at = clear_place(tool, tool.high_mm, 16);
    burr_at = clear_place(tool, tool.low_mm, 16);
    faults.damage = {{dent_at, 11, -0.4}, {burr_at, 11, 0.3}};
  }
};

TEST(HalfReading, FiguresLieWithinTheirStatedUncertaintyAboutNinetyFiveTimesInAHundred) {
  constexpr int scans = 40;
  struct Rate {
    const char* what;
    int within = 0, of = 0;
    double worst = 0;  // error over stated uncertainty
    void add(double error, double u95) {
      within += std::abs(error) <= u95;
      ++of;
      worst = std::max(worst, std::abs(error) / u95);
    }
  };
  Rate offset{"face offset"}, tilt{"face tilt"}, flat{"flatness, least squares"},
      zone{"flatness, minimum zone"}, place{"dowel place, each axis"}, width{"dowel diameter"},
      dent{"dent depth"}, burr{"raised metal"};
  int lost = 0;
  for (int scan = 0; scan < scans; ++scan) {
    const NamedCore& named = cores()[static_cast<std::size_t>(scan) % 3];
    const FaultyHalf faulty(named.core, scan % 2 == 0 ? Half::lower : Half::upper);
    const demo::ToolHalf tool(named.core.design, named.core.box, faulty.half, faulty.faults);
    demo::Scanner with = rough_scanner(1000 + static_cast<std::uint64_t>(scan));
    with.unseen_fraction = 0;  // what flatness speaks of would be another face
    const ScanReading reading = read(tool, with);
    const PartingFaceReading& face = *reading.parting_face;
    ASSERT_TRUE(face.told) << face.why_not;
    const Vector2d centroid = named.core.box.parting.at_parting_mm(face.centroid_mm);
    const TrueForm truth = true_form(tool, centroid);
    offset.add(face.offset_mm - truth.offset_mm, face.offset_u95_mm);
    tilt.add(face.tilt_deg.x() - truth.tilt_deg.x(), face.tilt_u95_deg);
    flat.add(face.flatness_ls_mm - truth.least_squares_mm, face.flatness_u95_mm);
    zone.add(face.flatness_min_zone_mm - truth.minimum_zone_mm, face.flatness_u95_mm);
    for (const DowelReading& d : reading.dowels) {
      if (!d.told) continue;
      const bool moved = d.id == faulty.faults.dowels[0].id;
      const Vector2d shift = moved ? faulty.faults.dowels[0].shift_mm : Vector2d(0, 0);
      if (d.kind != DowelKind::slot)
        for (const int axis : {0, 1}) place.add(d.offset_mm[axis] - shift[axis], d.at_u95_mm);
      width.add(d.diameter_mm - d.nominal_mm - (moved ? faulty.faults.dowels[0].diameter_change_mm : 0),
                d.diameter_u95_mm);
    }
    const Finding *found_dent = find(reading, FindingKind::dent),
                  *found_burr = find(reading, FindingKind::raised_metal);
    if (found_dent == nullptr || found_burr == nullptr) {
      ++lost;
      continue;
    }
    dent.add(found_dent->depth_mm - 0.4, found_dent->u95_mm);
    burr.add(found_burr->depth_mm + 0.3, found_burr->u95_mm);
  }
  for (const Rate* rate : {&offset, &tilt, &flat, &zone, &place, &width, &dent, &burr}) {
    std::cout << "    " << rate->what << ": " << rate->within << " of " << rate->of << " within u95; worst "
              << rate->worst << " of it\n";
    // Binomial: 95 % of 40 leaves fewer than 34 within in about one case in a hundred.
    EXPECT_GE(rate->within, 0.85 * rate->of) << rate->what;
  }
  std::cout << "    damage not seen: " << lost << " of " << scans << "\n";
  EXPECT_EQ(lost, 0);
}

}  // namespace
}  // namespace boxfettle
