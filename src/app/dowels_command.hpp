// boxfettle dowels: how far apart pins and bushes let the halves stand.
#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command dowels_command();

}  // namespace boxfettle
