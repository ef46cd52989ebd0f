#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command scan_command();  // boxfettle scan: what a scan says about a box

}  // namespace boxfettle
