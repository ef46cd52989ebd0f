#include "app/scan_series.hpp"

#include <map>
#include <string>

#include "app/command_line.hpp"
#include "app/series_folder.hpp"
#include "input/replace_file.hpp"
#include "paper/series_reading.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

// A note that every scan gives is said once; others name their scans.
class Notes {
 public:
  void take(const std::string& file, const std::vector<std::string>& notes) {
    ++scans_;
    for (const std::string& note : notes) {
      if (!said_.contains(note)) order_.push_back(note);
      said_[note].push_back(file);
    }
  }
  std::vector<std::string> together() const {
    std::vector<std::string> all;
    for (const std::string& note : order_) {
      std::string files;
      for (const std::string& file : said_.at(note)) files += (files.empty() ? "" : ", ") + file;
      all.push_back(said_.at(note).size() == scans_ ? note : files + ": " + note);
    }
    return all;
  }

 private:
  std::size_t scans_ = 0;
  std::vector<std::string> order_;
  std::map<std::string, std::vector<std::string>> said_;
};

SeriesReading read_series(const SeriesFolder& folder, const SeriesSubject& subject) {
  SeriesReading series{subject.box.id, {}, {}, {}};
  std::vector<ScanOfSeries> scans;
  TriangleMesh surface;
  Notes notes;
  for (const DatedScan& dated : folder.scans) {
    ScanReading reading = subject.read(dated.file);
    const std::string file = dated.file.filename().string();
    series.scans.push_back(
        {file, dated.date, dated.shots, reading.verdict, reading.deviation.coverage_fraction});
    std::vector<std::string> said = std::move(reading.notes);
    surface = std::move(reading.surface);  // the same for all: it is the design's
    scans.push_back(scan_of_series(std::move(reading)));
    if (!scans.back().placed)
      said.emplace_back("How the scan lies is not sure, so no depth was taken from it.");
    notes.take(file, said);
  }
  series.patches = followed_patches(scans, surface, &subject.box);
  series.notes = notes.together();
  return series;
}

std::vector<InputFile> inputs(const SeriesFolder& folder, const SeriesSubject& subject) {
  std::vector<InputFile> files{input_file(subject.design), input_file(subject.box_file)};
  if (folder.table) files.push_back(input_file(*folder.table));
  for (const DatedScan& scan : folder.scans) files.push_back(input_file(scan.file));
  return files;
}

void check_apart(const fs::path& out, const std::vector<InputFile>& inputs) {
  for (const InputFile& input : inputs) {
    std::error_code unknown;
    if (fs::equivalent(out, input.file, unknown))
      throw WrongUse("--csv would write over " + input.file + ", which it is made from");
  }
}

}  // namespace

bool asks_for_series(const CommandLine& line) {
  if (!line.has("--series")) {
    if (!line.has("--scan")) throw WrongUse("--scan FILE or --series DIR is missing");
    if (line.has("--csv")) throw WrongUse("--csv belongs to --series DIR, which is missing");
    return false;
  }
  for (const char* option : {"--scan", "--report", "--section"})
    if (line.has(option))
      throw WrongUse(std::string(option) + " is of one scan and does not go with --series");
  if (!line.has("--box")) throw WrongUse("--series needs --box FILE: it follows the places of one box");
  return true;
}

Answer series_answer(const CommandLine& line, const SeriesSubject& subject) {
  const fs::path dir = *line.value("--series");
  const std::optional<std::string> csv = line.value("--csv");
  const SeriesFolder folder = series_folder(dir, {subject.design, subject.box_file});
  const std::vector<InputFile> from = inputs(folder, subject);
  if (csv) check_apart(*csv, from);
  const SeriesReading series = read_series(folder, subject);
  if (csv) {
    const std::string text = series_csv(series);
    replace_file(*csv, std::as_bytes(std::span(text)));
  }
  Answer answer;
  answer.out =
      line.has("--json")
          ? series_json(series, from).dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n"
          : series_text(series);
  if (line.has("--gate") && series.scans.back().verdict == ScanVerdict::hold) answer.exit_code = exit_held;
  return answer;
}

}  // namespace boxfettle
