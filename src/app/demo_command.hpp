// `boxfettle demo DIR`: the invented shop, for trying the program out.
#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command demo_command();

}  // namespace boxfettle
