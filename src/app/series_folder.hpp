// The scans of one box in a folder, in order of time.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace boxfettle {

struct DatedScan {
  std::filesystem::path file;
  std::string date;  // YYYY-MM-DD
  std::optional<std::int64_t> shots;
};

struct SeriesFolder {
  std::vector<DatedScan> scans;                // by date, then shots, then name
  std::optional<std::filesystem::path> table;  // series.csv, where there is one
};

// Every scan file of the folder (STL, PLY, OBJ, XYZ, CSV, TXT) but `not_a_scan` (the design, the box), the
// table itself, and tables that an earlier series wrote; folders inside are not entered. series.csv, columns
// file, date, shots, dates and counts those it names; a date left empty there, and that of a scan it does not
// name, is the one written in the file's name. Throws InputError: no such folder, no scans, a scan without a
// date, a table without its columns or naming a file that is not there, shots that are no count.
SeriesFolder series_folder(const std::filesystem::path& folder,
                           const std::vector<std::filesystem::path>& not_a_scan);

}  // namespace boxfettle
