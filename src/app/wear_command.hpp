#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command wear_command();  // boxfettle wear: how many shots are left, when to measure again?

}  // namespace boxfettle
