#include "app/series_folder.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <fstream>
#include <tuple>

#include "input/calendar_date.hpp"
#include "input/csv_table.hpp"
#include "input/input_error.hpp"
#include "input/whole_file.hpp"
#include "paper/series_reading.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

constexpr const char* table_name = "series.csv";

bool is_scan_name(const fs::path& file) {
  std::string ending = file.extension().string();
  for (char& c : ending) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  constexpr std::array<std::string_view, 6> scans{".stl", ".ply", ".obj", ".xyz", ".csv", ".txt"};
  return std::find(scans.begin(), scans.end(), ending) != scans.end();
}

// What --csv of an earlier run left in the folder.
bool is_written_by_a_series(const fs::path& file) {
  std::string start(series_csv_header.size(), ' ');
  std::ifstream in(file, std::ios::binary);
  in.read(start.data(), static_cast<std::streamsize>(start.size()));
  return in && start == series_csv_header;
}

bool is_one_of(const fs::path& file, const std::vector<fs::path>& others) {
  return std::any_of(others.begin(), others.end(), [&](const fs::path& other) {
    std::error_code unknown;
    return fs::equivalent(file, other, unknown);
  });
}

std::vector<DatedScan> scans_in(const fs::path& folder, const std::vector<fs::path>& not_a_scan) {
  std::error_code error;
  fs::directory_iterator items(folder, error);
  if (error)
    throw InputError(folder.string(), "", error.message(), "name the folder that holds the scans of one box");
  std::vector<DatedScan> scans;
  for (const fs::directory_entry& item : items)
    if (item.is_regular_file(error) && is_scan_name(item.path()) && item.path().filename() != table_name &&
        !is_one_of(item.path(), not_a_scan) && !is_written_by_a_series(item.path()))
      scans.push_back({item.path(), date_in_name(item.path().filename().string()).value_or(""), {}});
  if (scans.empty())
    throw InputError(folder.string(), "", "holds no scans",
                     "put the scans of one box there, each with its date in its name");
  return scans;
}

std::int64_t count_of(double number, const CsvTable& table, std::size_t row) {
  if (!(number >= 0 && number < 1e12) || number != std::floor(number))
    throw InputError(table.file(), table.place(row), "shots are no whole count",
                     "write the shots the box had made by then, as one number");
  return static_cast<std::int64_t>(number);
}

// What the table says of one scan, put into the list.
void take_row(const CsvTable& table, std::size_t row, std::vector<DatedScan>& scans) {
  const std::string name(table.text(row, table.column("file")));
  const auto scan = std::find_if(scans.begin(), scans.end(),
                                 [&](const DatedScan& one) { return one.file.filename() == name; });
  if (scan == scans.end())
    throw InputError(table.file(), table.place(row), "names '" + name + "', which is no scan in this folder",
                     "correct the name, or take the line out");
  if (const std::string date(table.text(row, table.column("date"))); !date.empty()) {
    if (!is_calendar_date(date))
      throw InputError(table.file(), table.place(row), "'" + date.substr(0, 24) + "' is no day",
                       "write it as YYYY-MM-DD");
    scan->date = date;
  }
  if (const auto shots = table.number(row, table.column("shots"))) scan->shots = count_of(*shots, table, row);
}

}  // namespace

SeriesFolder series_folder(const fs::path& folder, const std::vector<fs::path>& not_a_scan) {
  SeriesFolder series{scans_in(folder, not_a_scan), {}};
  const fs::path table_file = folder / table_name;
  if (fs::exists(table_file)) {
    series.table = table_file;
    const WholeFile whole(table_file);
    const CsvTable table(whole.text(), table_file.string());
    for (const char* column : {"file", "date", "shots"}) table.column(column);
    for (std::size_t row = 0; row < table.rows(); ++row) take_row(table, row, series.scans);
  }
  for (const DatedScan& scan : series.scans)
    if (scan.date.empty())
      throw InputError(scan.file.string(), "", "no date is known for this scan",
                       "write it into the name, as in box-2026-03-14.ply, or into series.csv");
  std::sort(series.scans.begin(), series.scans.end(), [](const DatedScan& a, const DatedScan& b) {
    return std::tie(a.date, a.shots, a.file) < std::tie(b.date, b.shots, b.file);
  });
  return series;
}

}  // namespace boxfettle
