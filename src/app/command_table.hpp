// Every command the program knows, in the order `boxfettle --help` lists them.
#pragma once

#include <vector>

#include "app/command.hpp"

namespace boxfettle {

std::vector<Command> command_table();

}  // namespace boxfettle
