// The served shop whose box has a design and a box file, so that its scans can be read. For tests.
#pragma once

#include <filesystem>
#include <string>

#include "corebox/box_file.hpp"
#include "demo/invented_cores.hpp"
#include "demo/synthetic_scan.hpp"
#include "geometry/surface_file.hpp"
#include "input/whole_file.hpp"
#include "service/served_shop.hpp"

namespace boxfettle {

class ShopWithDesign : public ServedShop {
 protected:
  // The box of the pump volute with its design, meshed coarsely to keep the test quick.
  demo::InventedCore register_with_design() {
    demo::InventedCore core = demo::pump_volute(3.0);
    const auto stl = scratch_.path() / "volute.stl";
    write_binary_stl(core.design, stl);
    const std::string box_file = write_box_file(core.box);
    BoxRegistered registration;
    registration.design = store_.files.put(WholeFile(stl).bytes());
    registration.design_name = "volute.stl";
    registration.box_file = store_.files.put(std::as_bytes(std::span(box_file)));
    register_box(registration);
    return core;
  }

  std::string scan_of(const demo::InventedCore& core, const demo::BoxFaults& faults) {
    demo::Scanner scanner;
    scanner.points = 60'000;
    const auto path = scratch_.path() / "scan.ply";
    write_binary_ply(demo::scan_core(core.design, core.box.parting, faults, scanner).points, path);
    return std::string(WholeFile(path).text());
  }
};

}  // namespace boxfettle
