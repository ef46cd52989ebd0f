#include "app/demo_command.hpp"

#include <chrono>
#include <string>

#include "app/command_line.hpp"
#include "demo/demo_shop.hpp"

namespace boxfettle {
namespace {

UtcTime moment_of_this_run() {
  const auto since_epoch = std::chrono::system_clock::now().time_since_epoch();
  return {std::chrono::duration_cast<std::chrono::milliseconds>(since_epoch).count()};
}

Answer run(const CommandLine& line) {
  const std::string& dir = line.operand(0);
  const demo::WrittenDemo written = demo::write_demo(dir, moment_of_this_run());
  return {"Tarnmoor Castings, an invented shop, is in " + dir + ": " + std::to_string(written.boxes) +
          " boxes, " + std::to_string(written.entries) + " logbook entries, " +
          std::to_string(written.scans) + " scans with known faults.\nRead " + dir +
          "/README.txt, then: boxfettle serve --data " + dir + "\n"};
}

}  // namespace

Command demo_command() {
  return {"demo",
          "write an invented shop to try the program on",
          {"DIR"},
          {},
          "  boxfettle demo tarnmoor\n"
          "  boxfettle serve --data tarnmoor\n"
          "DIR must be new or empty. DIR/README.txt says who can sign in and which faults each scan is known "
          "to have.\n",
          run};
}

}  // namespace boxfettle
