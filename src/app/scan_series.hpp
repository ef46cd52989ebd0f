// boxfettle scan --series: all scans of one box read in order of time, worn places followed through them.
#pragma once

#include <filesystem>
#include <functional>

#include "app/command.hpp"
#include "corebox/core_box.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

class CommandLine;

inline constexpr Option series_option{
    "--series", "DIR", "instead of --scan: all scans of one box, worn places followed (needs --box)"};
inline constexpr Option series_csv_option{"--csv", "OUT.csv",
                                          "with --series: the depths by patch, date and shots as a table"};

// Whether this is a series; throws WrongUse when its options do not go together.
bool asks_for_series(const CommandLine& line);

struct SeriesSubject {
  const CoreBox& box;
  std::filesystem::path box_file, design;
  // Reads one scan with its points kept.
  std::function<ScanReading(const std::filesystem::path&)> read;
};
Answer series_answer(const CommandLine& line, const SeriesSubject& subject);

}  // namespace boxfettle
