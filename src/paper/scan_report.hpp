// A scan reading as one A4 page for a customer or the tool room: what was read, what it says, how sure it is,
// and what it does not say.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "paper/input_file.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

struct ReportFacts {
  std::string date;               // YYYY-MM-DD: of the report; nothing here reads a clock
  std::string shop;               // who hands it over; may be empty
  std::vector<InputFile> inputs;  // design, scan, and the box file where there was one
};

// The bytes of a PDF, always of one page: a list too long for it is cut and says how much more the JSON
// holds. `box` may be null, as for read_scan: then nothing is said of halves and no section is drawn. The
// same reading and facts give the same bytes. Throws std::runtime_error when it cannot be drawn.
std::vector<std::byte> scan_report(const ScanReading& reading, const CoreBox* box, const ReportFacts& facts);

}  // namespace boxfettle
