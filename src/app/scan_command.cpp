#include "app/scan_command.hpp"

#include <array>
#include <future>
#include <optional>

#include "app/command_line.hpp"
#include "app/progress_line.hpp"
#include "app/report_file.hpp"
#include "app/scan_series.hpp"
#include "corebox/box_file.hpp"
#include "corebox/casting_tolerance.hpp"
#include "geometry/surface_file.hpp"
#include "input/input_error.hpp"
#include "paper/scan_reading_json.hpp"
#include "paper/scan_reading_text.hpp"
#include "paper/section_json.hpp"
#include "reading/design_file.hpp"
#include "reading/half_reading.hpp"
#include "reading/scan_reading.hpp"
#include "reading/scan_subject.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

ScanSubject scanned(const CommandLine& line) {
  const std::string of = line.value("--of").value_or("core");
  if (const auto known = scan_subject_named(of)) return *known;
  throw WrongUse("--of takes core, half-upper or half-lower, not '" + of + "'");
}

void check_subject(const CommandLine& line) {
  if (scanned(line) != ScanSubject::core && !line.value("--box"))
    throw WrongUse(
        "--box FILE is missing: where a half parts, and its dowels and limits, stand in the box file");
  for (const char* of_a_core : {"--series", "--section"})
    if (scanned(line) != ScanSubject::core && line.has(of_a_core))
      throw WrongUse(std::string(of_a_core) + " goes with scans of a core only, not of a half");
}

std::optional<LengthUnit> scan_unit(const CommandLine& line) {
  const std::string text = line.value("--scan-unit").value_or("auto");
  if (text == "auto") return std::nullopt;
  const auto unit = length_unit_named(text);
  if (!unit) throw WrongUse("--scan-unit takes mm, cm, m, inch or auto, not '" + text + "'");
  return unit;
}

// What the command was pointed at.
struct Subject {
  std::optional<fs::path> box_file;
  std::optional<CoreBox> box;
  fs::path design, scan;
  std::optional<std::uint32_t> design_body;
  std::vector<std::string> notes;
};

Subject subject(const CommandLine& line) {
  Subject subject;
  subject.scan = line.value("--scan").value_or("");
  if (const auto file = line.value("--box")) {
    subject.box_file = *file;
    subject.box = read_box_file(*file);
    // A relative path in the box file starts at the box file, so that the two can be moved together.
    if (!subject.box->design_file.empty())
      subject.design = subject.box_file->parent_path() / subject.box->design_file;
  }
  if (const auto file = line.value("--design")) subject.design = *file;
  if (const auto body = line.number("--design-body", 1, 1e6)) {
    subject.design_body = static_cast<std::uint32_t>(*body);
    if (*subject.design_body != *body) throw WrongUse("--design-body takes a whole number");
  }
  if (subject.design.empty())
    throw WrongUse(subject.box ? "--design FILE is missing, and the box file names no design either"
                               : "--design FILE or --box FILE is missing");
  return subject;
}

std::string flaws_note(const std::string& what, const MeshFlaws& flaws) {
  return what + ": " + std::to_string(flaws.zero_area) + " triangles without area and " +
         std::to_string(flaws.duplicate) + " repeated ones were dropped.";
}

const CoreBox* box_of(const Subject& subject) {
  return subject.box ? &*subject.box : nullptr;
}

StepReading design_step(const Subject& subject) {
  StepReading step;
  step.body = subject.design_body;
  step.choose_body = "say which is the core's with --design-body N, or export it alone";
  return step;
}

std::vector<std::string> notes_on(const DesignAndScan& files) {
  std::vector<std::string> notes;
  const auto add_flaws = [&](const char* of, const MeshFlaws& flaws) {
    if (flaws.zero_area + flaws.duplicate > 0) notes.push_back(flaws_note(of, flaws));
  };
  add_flaws("Design", files.design.flaws);
  notes.insert(notes.end(), files.design.notes.begin(), files.design.notes.end());
  add_flaws("Scan", files.scan.flaws);
  for (const std::string& note : files.scan.notes) notes.push_back("Scan: " + note);
  return notes;
}

// The reading speaks of "design" and "scan"; a person knows them by their files.
InputError with_file_name(const InputError& error, const Subject& subject) {
  const std::string file = error.file() == "design" ? subject.design.string()
                           : error.file() == "scan" ? subject.scan.string()
                                                    : error.file();
  return {file, error.place(), error.fault(), error.mend()};
}

// A drawing that gives a casting grade only limits the surface by the size of the core.
void apply_casting_grade(Subject& subject) try {
  if (!subject.box || subject.box->limits.casting_grade.empty()) return;
  const Bounds core = bounds(read_design_file(subject.design, box_of(subject), design_step(subject)).mesh_mm);
  GradedLimits graded = graded_limits(subject.box->limits, (core.high - core.low).maxCoeff());
  subject.box->limits = graded.limits;
  subject.notes = std::move(graded.notes);
} catch (const InputError& error) {
  throw with_file_name(error, subject);
}

ScanReading reading(const Subject& subject, const CommandLine& line) try {
  const DesignAndScan files =
      read_design_and_scan(subject.design, box_of(subject), design_step(subject), subject.scan);
  std::vector<std::string> notes = notes_on(files);
  notes.insert(notes.end(), subject.notes.begin(), subject.notes.end());
  ProgressLine progress;
  ScanSettings settings;
  settings.scan_unit = files.scan.unit ? files.scan.unit : scan_unit(line);
  settings.keep_points = line.has("--series");
  settings.progress = [&](double share, std::string_view step) {
    progress.show(share, step);
    return true;
  };
  ScanReading reading =
      read_scanned(scanned(line), files.design.mesh_mm, files.scan.surface, box_of(subject), settings);
  reading.notes.insert(reading.notes.begin(), notes.begin(), notes.end());
  return reading;
} catch (const InputError& error) {
  throw with_file_name(error, subject);
}

std::vector<InputFile> inputs(const Subject& subject) {
  std::vector<InputFile> files{input_file(subject.design), input_file(subject.scan)};
  if (subject.box_file) files.push_back(input_file(*subject.box_file));
  return files;
}

std::string json_text(const ScanReading& reading, const Subject& subject, const CommandLine& line,
                      const std::vector<InputFile>& inputs) {
  nlohmann::ordered_json object = scan_reading_json(reading, inputs);
  if (line.has("--section")) object["section"] = section_in_space_json(reading.section, subject.box->parting);
  return object.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
}

std::string plain_text(const ScanReading& reading, const Subject& subject, const CommandLine& line) {
  std::string text = scan_reading_text(reading, subject.box ? &*subject.box : nullptr);
  if (line.has("--section")) text += "\n" + section_text(reading.section);
  return text;
}

Answer of_series(const CommandLine& line) {
  Subject files = subject(line);
  apply_casting_grade(files);
  const auto read = [&](const fs::path& scan) {
    Subject one = files;
    one.scan = scan;
    return reading(one, line);
  };
  return series_answer(line, {*files.box, *files.box_file, files.design, read});
}

Answer run(const CommandLine& line) {
  check_subject(line);
  scan_unit(line);  // a wrong unit is told before any file is read
  if (asks_for_series(line)) return of_series(line);
  if (line.has("--section") && !line.has("--box"))
    throw WrongUse("--section needs --box FILE: only a box says where its halves part");
  const std::optional<ReportOrder> report = report_order(line);
  Subject files = subject(line);
  apply_casting_grade(files);
  // Named by their content while the reading runs; asked for last, so that a fault in a file is told by its
  // reader.
  std::future<std::vector<InputFile>> naming;
  const bool named = line.has("--json") || report;
  if (named) naming = std::async(std::launch::async, [&] { return inputs(files); });
  const ScanReading result = reading(files, line);
  const std::vector<InputFile> from = named ? naming.get() : std::vector<InputFile>{};
  if (report) {
    check_apart(*report, from);
    write_report(*report, result, files.box ? &*files.box : nullptr, from);
  }
  Answer answer{line.has("--json") ? json_text(result, files, line, from) : plain_text(result, files, line)};
  if (line.has("--gate") && result.verdict == ScanVerdict::hold) answer.exit_code = exit_held;
  return answer;
}

}  // namespace

Command scan_command() {
  return {
      .name = "scan",
      .purpose = "tell what a scan of a core says about its box: mismatch, gap, wear, build-up",
      .operands = {},
      .options = {{"--design", "FILE",
                   "the core's nominal shape: STL, PLY, OBJ or STEP (default: the box file's)"},
                  {"--design-body", "N", "which body of a STEP design that holds several, from 1"},
                  {"--scan", "FILE", "the scan: STL, PLY, OBJ, STEP, or points as XYZ, CSV or TXT"},
                  series_option,
                  series_csv_option,
                  {"--box", "FILE", "the box file: where the halves part, and the limits"},
                  {"--of", "WHAT",
                   "what was scanned: core (default), or of the box itself half-upper or half-lower"},
                  {"--scan-unit", "UNIT", "mm, cm, m, inch or auto (default: auto, by size)"},
                  {"--section", "", "add the section at the parting face to what is printed (needs --box)"},
                  report_option,
                  report_shop_option,
                  report_date_option,
                  json_option,
                  gate_option},
      .example =
          "  boxfettle scan --box tm-0412.toml --scan tm-0412-today.ply\n\n"
          "  reads the box file, takes the design it names, finds how the scan lies on it, and prints the "
          "verdict\n"
          "  (fit, watch, hold, or cannot-tell), what was found with its place and size, how the upper half "
          "stood\n"
          "  to the lower, and what was assumed. Without a box file nothing is said about the halves:\n\n"
          "  boxfettle scan --design volute.stl --scan today.xyz --scan-unit mm --json\n\n"
          "  A page for the customer, and worn places followed through all scans of a box, each with its "
          "date "
          "in\n"
          "  its name (shots from DIR/series.csv: file, date, shots):\n\n"
          "  boxfettle scan --box tm-0412.toml --scan tm-0412-today.ply --report page.pdf\n"
          "  boxfettle scan --box tm-0412.toml --series scans-of-tm-0412 --csv depths.csv\n\n"
          "  A half of the box itself, scanned with its parting face up, gives wear of its cavity, flatness "
          "and "
          "height of\n"
          "  its parting face, dents and raised metal on it, and place and diameter of its dowel pins or "
          "bores:\n\n"
          "  boxfettle scan --of half-lower --box tm-0412.toml --scan lower-half.ply\n",
      .run = run};
}

}  // namespace boxfettle
