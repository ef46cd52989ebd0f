// All scans of one box in order of time, and what became of each worn place: as JSON, in words, and as a
// table that the wear calculation reads.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "paper/input_file.hpp"
#include "reading/patch_series.hpp"

namespace boxfettle {

struct SeriesScan {
  std::string file;
  std::string date;                   // YYYY-MM-DD
  std::optional<std::int64_t> shots;  // the box had made by then
  ScanVerdict verdict = ScanVerdict::cannot_tell;
  double coverage_fraction = 0;
};

struct SeriesReading {
  std::string box;
  std::vector<SeriesScan> scans;  // in order of time
  std::vector<FollowedPatch> patches;
  std::vector<std::string> notes;
};

// {"boxfettle", "inputs", "box", "series": {"scans": [...], "patches": [...]}, "notes"}; what is not known or
// not seen is left out.
nlohmann::ordered_json series_json(const SeriesReading& series, const std::vector<InputFile>& inputs);

std::string series_text(const SeriesReading& series);

// patch,date,shots,depth_mm,u95_mm: a line for each place in each scan that saw it; depths are signed as
// everywhere (build-up is negative), shots empty where they are not known.
std::string series_csv(const SeriesReading& series);
inline constexpr std::string_view series_csv_header = "patch,date,shots,depth_mm,u95_mm";

}  // namespace boxfettle
