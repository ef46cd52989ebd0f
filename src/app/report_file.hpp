// The page of paper that `boxfettle scan --report` leaves behind.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "app/command.hpp"
#include "paper/scan_report.hpp"

namespace boxfettle {

class CommandLine;

inline constexpr Option report_option{"--report", "OUT.pdf",
                                      "write one A4 page for the customer or the tool room"};
inline constexpr Option report_shop_option{"--shop", "NAME", "who hands the report over, printed at its top"};
inline constexpr Option report_date_option{"--date", "YYYY-MM-DD", "the report's date (default: today)"};

// Where the report goes and what stands on it besides the reading. Empty without --report; throws WrongUse
// for --shop or --date without it, and for a date that is none.
struct ReportOrder {
  std::filesystem::path file;
  std::string shop, date;
};
std::optional<ReportOrder> report_order(const CommandLine& line);

// Throws WrongUse when the report would be written over one of the files it is made from.
void check_apart(const ReportOrder& order, const std::vector<InputFile>& inputs);

// The file is there whole or not at all. Throws InputError when the place cannot be written.
void write_report(const ReportOrder& order, const ScanReading& reading, const CoreBox* box,
                  std::vector<InputFile> inputs);

}  // namespace boxfettle
