// A scan reading as the JSON object that the command line prints and the page reads.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "reading/scan_reading.hpp"

namespace boxfettle {

struct InputFile {
  std::string file;
  std::size_t size = 0;
  std::string sha256;  // lower-case hex
};

// Keys as promised by `boxfettle scan --json`; numbers that cannot be told are left out, never NaN.
nlohmann::json scan_reading_json(const ScanReading& reading, const std::vector<InputFile>& inputs);

}  // namespace boxfettle
