#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command vents_command();

}  // namespace boxfettle
