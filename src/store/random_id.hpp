// Names that nobody can guess.
#pragma once

#include <cstddef>
#include <string>

namespace boxfettle {

std::string random_hex(std::size_t bytes);  // two digits each, from the system's secure source

}  // namespace boxfettle
