#include "app/command_table.hpp"

#include "app/blow_command.hpp"
#include "app/capability_command.hpp"
#include "app/chart_command.hpp"
#include "app/demo_command.hpp"
#include "app/dowels_command.hpp"
#include "app/firstpiece_command.hpp"
#include "app/fit_command.hpp"
#include "app/gap_command.hpp"
#include "app/gauge_command.hpp"
#include "app/life_command.hpp"
#include "app/scan_command.hpp"
#include "app/serve_command.hpp"
#include "app/vents_command.hpp"
#include "app/verify_command.hpp"
#include "app/wear_command.hpp"

namespace boxfettle {

// One line here and one <name>_command.cpp make a command.
std::vector<Command> command_table() {
  return {
      scan_command(),  dowels_command(), fit_command(),        gap_command(),        blow_command(),
      vents_command(), chart_command(),  capability_command(), firstpiece_command(), gauge_command(),
      wear_command(),  life_command(),   serve_command(),      demo_command(),       verify_command(),
  };
}

}  // namespace boxfettle
