#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command life_command();  // boxfettle life: how long do pins, bushes, vents and handles last?

}  // namespace boxfettle
