// A small invented core for tests: two arms of sand at a right angle.
#pragma once

#include <vector>

#include "demo/plain_solids.hpp"
#include "venting/gas_flow.hpp"

namespace boxfettle {

// An L of sand: inlet on top of one arm, three vents of which one sits at the far end of the other.
struct Elbow {
  TriangleMesh mesh;
  CutCells cavity;
  PackedSand sand = packed_sand(55, 1.55);
  GasState state{.inlet_pa = 2.5e5, .temperature_K = 313};
  std::vector<Inlet> inlets;
  std::vector<VentPath> vents;

  explicit Elbow(double voxel_mm = 2.5) {
    mesh = demo::block({100, 30, 30});
    demo::add(mesh, demo::block({30, 80, 30}, {70, 29, 0}));
    cavity = cut_cells(mesh, lattice_around(mesh, voxel_mm));
    inlets.push_back({"B1", wall_patch(cavity, {{15, 15, 30}, {0, 0, -1}, 7}), 154});
    const auto vent = [&](const char* id, Eigen::Vector3d at, Eigen::Vector3d inward, double orifice_mm2) {
      vents.push_back({id, wall_patch(cavity, {at, inward, 4}), 50.3, orifice_mm2 * 1e-6});
    };
    vent("V1", {60, 15, 30}, {0, 0, -1}, 8);
    vent("V2", {85, 109, 15}, {0, -1, 0}, 8);
    vent("V3", {100, 15, 15}, {-1, 0, 0}, 4);
  }

  GasFlow flow(const FlowSettings& settings = {}) const {
    return {cavity, sand, state, inlets, vents, {}, settings};
  }
};

}  // namespace boxfettle
