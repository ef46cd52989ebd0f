// boxfettle gap: what an open parting face does, why it is open, and what the clamps hold.
#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command gap_command();

}  // namespace boxfettle
