#include "venting/venting_box.hpp"

#include <gmock/gmock.h>

#include <numeric>

#include "demo/plain_solids.hpp"

namespace boxfettle {
namespace {

// Air leaves at every place where the halves stand apart, however the outline falls on the grid.
TEST(VentingBox, TheWholeOutlineLeaksWhereTheHalvesStandApart) {
  TriangleMesh design = demo::block({100, 30, 30});
  demo::add(design, demo::block({30, 80, 30}, {70, 29, 0}));
  CoreBox box;
  box.parting = PartingFace::through({0, 0, 15}, {0, 0, 1});
  box.blow_inlets = {{"B1", {15, 15, 30}, 14}};
  VentingSettings settings;
  settings.opening_mm = [](const Eigen::Vector2d&) { return 0.1; };
  double outline_mm = 0;
  for (const OutlinePiece& piece : parting_outline(design, box.parting)) outline_mm += piece.length_mm;
  for (const double voxel : {1.5, 2.0, 2.5, 3.1, 5.0}) {
    const VentingBox vented(design, box, settings, voxel);
    double width_m = 0;
    for (const LeakCell& leak : vented.leaks()) {
      width_m += leak.width_m;
      EXPECT_NEAR(leak.height_m, 1e-4, 1e-12);
    }
    EXPECT_NEAR(width_m * 1e3 / outline_mm, 1, 1e-9) << voxel;
  }
}

}  // namespace
}  // namespace boxfettle
