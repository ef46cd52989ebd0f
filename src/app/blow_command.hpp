#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command blow_command();

}  // namespace boxfettle
