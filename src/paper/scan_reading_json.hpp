// A scan reading as the JSON object that the command line prints and the page reads.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "paper/input_file.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

// Keys as promised by `boxfettle scan --json`; numbers that cannot be told are left out, never NaN.
nlohmann::ordered_json scan_reading_json(const ScanReading& reading, const std::vector<InputFile>& inputs);

}  // namespace boxfettle
