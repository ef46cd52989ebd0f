#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command firstpiece_command();  // boxfettle firstpiece: what do the first pieces say about the run?

}  // namespace boxfettle
