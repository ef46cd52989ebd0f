// What was scanned, from the word a person gives for it.
#pragma once

#include <optional>
#include <string_view>

#include "reading/scan_reading.hpp"

namespace boxfettle {

std::optional<ScanSubject> scan_subject_named(std::string_view text);  // empty when it is none of name()'s

}  // namespace boxfettle
