#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command verify_command();

}  // namespace boxfettle
