// Three cores of the invented shop with their boxes: smooth implicit shapes, meshed. Nothing real is copied.
#pragma once

#include <array>

#include "corebox/core_box.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle::demo {

struct InventedCore {
  CoreBox box;          // parting through the core, limits, dowels, vents, blow inlets, clamps, loose pieces
  TriangleMesh design;  // watertight, outward, 100,000 to 500,000 triangles, mm
};

// Deterministic. `cell_mm` is the meshing cell; the default of each core gives the promised triangle count,
// and tests may ask for a coarser one.
InventedCore pump_volute(double cell_mm = 0);         // TM-0412
InventedCore ribbed_jacket(double cell_mm = 0);       // TM-0427
InventedCore stepped_valve_body(double cell_mm = 0);  // TM-0455, with loose pieces

enum class Core { volute, jacket, valve_body };
inline constexpr std::array every_core{Core::volute, Core::jacket, Core::valve_body};

// Meshed more coarsely than the shop's own (2 mm), for the speed of tests; made when first asked for and
// kept.
const InventedCore& coarse(Core core);

}  // namespace boxfettle::demo
