// boxfettle fit: the limits of a fit such as H7/g6.
#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command fit_command();

}  // namespace boxfettle
