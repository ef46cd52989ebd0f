#include "app/report_file.hpp"

#include <ctime>

#include "app/command_line.hpp"
#include "input/calendar_date.hpp"
#include "input/replace_file.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

// The shop's own day, not the one in Greenwich.
std::string today() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  char text[16];
  std::strftime(text, sizeof text, "%Y-%m-%d", &local);
  return text;
}

}  // namespace

std::optional<ReportOrder> report_order(const CommandLine& line) {
  const auto file = line.value("--report");
  if (!file) {
    for (const char* option : {"--shop", "--date"})
      if (line.has(option))
        throw WrongUse(std::string(option) + " belongs to --report OUT.pdf, which is missing");
    return std::nullopt;
  }
  const std::string date = line.value("--date").value_or(today());
  if (!is_calendar_date(date)) throw WrongUse("--date takes a day as YYYY-MM-DD, not '" + date + "'");
  return ReportOrder{*file, line.value("--shop").value_or(""), date};
}

void check_apart(const ReportOrder& order, const std::vector<InputFile>& inputs) {
  for (const InputFile& input : inputs) {
    std::error_code unknown;
    if (fs::equivalent(order.file, input.file, unknown))
      throw WrongUse("--report would write over " + input.file + ", which it is made from");
  }
}

void write_report(const ReportOrder& order, const ScanReading& reading, const CoreBox* box,
                  std::vector<InputFile> inputs) {
  replace_file(order.file, scan_report(reading, box, {order.date, order.shop, std::move(inputs)}));
}

}  // namespace boxfettle
