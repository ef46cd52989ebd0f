#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command gauge_command();  // boxfettle gauge: how much of the scatter is the gauge?

}  // namespace boxfettle
