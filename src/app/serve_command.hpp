// boxfettle serve: the page, the API and the worker, over one record.
#pragma once

#include "app/command.hpp"

namespace boxfettle {

Command serve_command();

}  // namespace boxfettle
