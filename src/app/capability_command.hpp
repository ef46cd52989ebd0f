#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command capability_command();  // boxfettle capability: is the process narrow enough for its limits?

}  // namespace boxfettle
