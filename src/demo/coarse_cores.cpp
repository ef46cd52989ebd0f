#include "demo/invented_cores.hpp"

namespace boxfettle::demo {

const InventedCore& coarse(Core core) {
  constexpr double cell_mm = 2;
  switch (core) {
    case Core::volute: {
      static const InventedCore volute = pump_volute(cell_mm);
      return volute;
    }
    case Core::jacket: {
      static const InventedCore jacket = ribbed_jacket(cell_mm);
      return jacket;
    }
    case Core::valve_body:
      break;
  }
  static const InventedCore valve_body = stepped_valve_body(cell_mm);
  return valve_body;
}

}  // namespace boxfettle::demo
