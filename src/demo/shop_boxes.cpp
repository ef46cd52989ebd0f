#include "demo/shop_boxes.hpp"

#include <array>

namespace boxfettle::demo {
namespace {

using enum Process;
using enum BoxMaterial;
using enum Ending;

constexpr std::array boxes{
    ShopBox{"TM-0387", "Bearing cap core", "Twin bore of a bearing cap", cold_box, aluminium, "Rack A, bay 1",
            0, fit},
    ShopBox{"TM-0391", "Gear housing core", "Inside of a gear housing", cold_box, aluminium, "Rack A, bay 2",
            2, fit},
    ShopBox{"TM-0394", "Manifold runner core", "Four runners in one piece", cold_box, aluminium,
            "Rack A, bay 3", 0, torn_vents},
    ShopBox{"TM-0396", "Flange bore core", "Straight bore with a shoulder", shell, grey_iron, "Rack A, bay 4",
            0, fit},
    ShopBox{"TM-0399", "Elbow passage core", "Right-angled passage", cold_box, aluminium, "Rack A, bay 5", 0,
            fit},
    ShopBox{"TM-0401", "Oil gallery core", "Slender gallery, two prints", hot_box, grey_iron, "Rack A, bay 6",
            0, fit},
    ShopBox{"TM-0403", "Bracket window core", "Window of a bearing bracket", no_bake, resin, "Rack A, bay 7",
            0, loose_handle},
    ShopBox{"TM-0405", "Sump core", "Inside of an oil sump", cold_box, aluminium, "Rack A, bay 8", 1, fit},
    ShopBox{"TM-0406", "Turbine scroll core", "Small scroll", shell, grey_iron, "Rack B, bay 1", 0, fit},
    ShopBox{"TM-0408", "Cross-over core", "Cross-over pipe", cold_box, aluminium, "Rack B, bay 2", 0,
            baked_on},
    ShopBox{"TM-0409", "Cover core", "Inside of a cover", co2, wood, "Rack B, bay 3", 0, fit},
    ShopBox{"TM-0411", "Stator cavity core", "Ring cavity of a stator case", cold_box, aluminium,
            "Rack B, bay 4", 0, fit},
    ShopBox{"TM-0412", "Pump volute core", "Spiral passage of a pump", cold_box, aluminium, "Rack B, bay 5",
            0, running},
    ShopBox{"TM-0413", "Pump cover core", "Back cover of the same pump", cold_box, aluminium, "Rack B, bay 6",
            0, conceded},
    ShopBox{"TM-0415", "Valve bonnet core", "Inside of a bonnet", shell, grey_iron, "Rack B, bay 7", 0, fit},
    ShopBox{"TM-0416", "Exhaust port core", "Port with a curved floor", hot_box, grey_iron, "Rack B, bay 8",
            0, fit},
    ShopBox{"TM-0418", "Inlet port core", "Port with a straight floor", hot_box, grey_iron, "Rack C, bay 1",
            0, overdue},
    ShopBox{"TM-0419", "Compressor head core", "Head with two chambers", cold_box, aluminium, "Rack C, bay 2",
            3, fit},
    ShopBox{"TM-0421", "Brake disc vane core", "Ring of vanes", cold_box, aluminium, "Rack C, bay 3", 0, fit},
    ShopBox{"TM-0422", "Hub cavity core", "Inside of a wheel hub", cold_box, aluminium, "Rack C, bay 4", 0,
            fit},
    ShopBox{"TM-0424", "Axle tube core", "Long straight bore", shell, steel, "Rack C, bay 5", 0,
            at_the_tool_room},
    ShopBox{"TM-0425", "Strainer body core", "Y-shaped body", cold_box, aluminium, "Rack C, bay 6", 1, fit},
    ShopBox{"TM-0427", "Ribbed jacket core", "Water jacket of three barrels", cold_box, aluminium,
            "Rack C, bay 7", 0, springs_open},
    ShopBox{"TM-0428", "Barrel core", "One barrel, three in a box", cold_box, aluminium, "Rack C, bay 8", 0,
            fit},
    ShopBox{"TM-0430", "Thermostat housing core", "Bent passage with a bulb", cold_box, brass,
            "Rack D, bay 1", 1, fit},
    ShopBox{"TM-0431", "Coolant elbow core", "Bent passage", cold_box, brass, "Rack D, bay 2", 0, fit},
    ShopBox{"TM-0433", "Intake plenum core", "Wide flat chamber", no_bake, resin, "Rack D, bay 3", 2, away},
    ShopBox{"TM-0434", "Column foot core", "Hollow machine foot", no_bake, wood, "Rack D, bay 4", 0, fit},
    ShopBox{"TM-0436", "Press frame window core", "Window of a frame", no_bake, wood, "Rack D, bay 5", 0,
            missing},
    ShopBox{"TM-0437", "Gear pump body core", "Figure-of-eight bore", cold_box, aluminium, "Rack D, bay 6", 0,
            suspects},
    ShopBox{"TM-0439", "Relief valve core", "Small stepped bore", shell, grey_iron, "Rack D, bay 7", 0, fit},
    ShopBox{"TM-0441", "Check valve core", "Stepped bore with a seat", shell, grey_iron, "Rack D, bay 8", 0,
            fit},
    ShopBox{"TM-0443", "Ball valve core", "Ball chamber", cold_box, aluminium, "Rack E, bay 1", 2, fit},
    ShopBox{"TM-0446", "Tee piece core", "Three-way passage", cold_box, aluminium, "Rack E, bay 2", 0,
            strayed},
    ShopBox{"TM-0448", "Reducer core", "Taper between two bores", shell, grey_iron, "Rack E, bay 3", 0, fit},
    ShopBox{"TM-0450", "Bend core", "Wide bend, two prints", co2, wood, "Rack E, bay 4", 0, fit},
    ShopBox{"TM-0452", "Motor foot core", "Pocket of a motor foot", cold_box, aluminium, "Rack E, bay 5", 0,
            fit},
    ShopBox{"TM-0453", "Terminal box core", "Square pocket", cold_box, aluminium, "Rack E, bay 6", 1, fit},
    ShopBox{"TM-0455", "Stepped valve body core", "Stepped bore, branch, two bosses", cold_box, aluminium,
            "Rack E, bay 7", 2, wrong_piece},
    ShopBox{"TM-0458", "Impeller eye core", "Ring with a step", cold_box, aluminium, "Rack E, bay 8", 0,
            new_box},
};

}  // namespace

std::span<const ShopBox> shop_boxes() {
  return boxes;
}

}  // namespace boxfettle::demo
