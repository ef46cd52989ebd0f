#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command chart_command();  // boxfettle chart: has the weight or size of the cores moved?

}  // namespace boxfettle
