// The tables, and what makes a SQLite file a record of ours.
#pragma once

#include <string>

#include "store/database.hpp"

namespace boxfettle {

// Creates the tables in an empty file, and in a record of an older program those that it has not. Throws
// InputError (file `file`) when the file holds something else or was written by a newer program.
void bring_schema(Access& access, const std::string& file);

}  // namespace boxfettle
