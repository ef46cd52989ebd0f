#include <algorithm>
#include <filesystem>

#include "paper/report_part.hpp"
#include "paper/report_words.hpp"

namespace boxfettle {
namespace {

constexpr double small_pt = 6.3, between = 15, most_column_height = 96;
constexpr int notes_shown_at_most = 6;

constexpr const char* what_a_finding_is =
    "A finding strays further than the scan's own scatter explains: the chance of a false one anywhere "
    "on a sound surface is set to one in a hundred. Its depth is the summit of a curved surface through its "
    "points. ";
constexpr const char* how_it_is_judged =
    "Hold: at the limit or beyond; watch: past 70 % of it, or the interval reaches it (common practice). ";

std::string method_of_half() {
  return std::string(
             "The half's cavity was laid on the core's design by a fit on which worn places and strays pull "
             "little or not; parting face and dowels are told against it. ") +
         what_a_finding_is +
         "Plus: metal is missing, the core has extra. Flatness is of the face smoothed over a few mm, without "
         "the places told as damage. " +
         how_it_is_judged + "Limits are the box file's.";
}

std::string method(const ReportSubject& subject) {
  if (subject.of_half()) return method_of_half();
  std::string text =
      "The scan was laid on the design by a fit on which worn places and strays pull little or not";
  text += subject.box != nullptr
              ? "; then each half on its own side of the parting: what is left between the two is mismatch, "
                "opening, turn and tilt. "
              : ". ";
  text += std::string(what_a_finding_is) + "Plus is outside the design. " + how_it_is_judged;
  text += subject.box != nullptr ? "Limits are the box file's."
                                 : "No box file was given: the surface is judged by the default of " +
                                       figure(subject.surface_limit_mm(), 2) + " mm.";
  return text;
}

std::string what_the_interval_is(const ReportSubject& subject) {
  std::string text =
      "\u00b1 is half of a 95 % interval from the scatter of this scan's own points; scatter that neighbours "
      "share counts once. It does not hold what the scan cannot show of itself: the scanner's calibration and "
      "scale, temperature, ";
  text += subject.of_half()
              ? "how the half lay and was held, faults of the design file. One half was read, not the box shut: "
                "how the two meet is not seen here. Places not seen are not judged. Noise that neighbours share "
                "looks like form of the face."
              : "how this one core was shot, cured, handled and stored, faults of the design file. One core was "
                "read, not the box. Places not seen are not judged. Halves are taken as rigid; wear over most of "
                "a half cannot be told from a shift of it.";
  return text;
}

constexpr const char* caution =
    "This sheet is no certificate and releases nothing by itself. It does not replace the customer's own "
    "acceptance "
    "or the judgement of the competent person on site; local codes decide. Clamps, toggles and raised halves "
    "hold "
    "energy that crushes: lock out, let pressure go and block the load before hands go in.";

std::vector<std::string> notes(const ReportSubject& subject) {
  std::vector<std::string> all = subject.reading.notes;
  if (all.empty()) all.emplace_back("Nothing had to be assumed beyond the method.");
  return all;
}

struct Column {
  const char* heading;
  std::string text;
};

double column_width(double width) {
  return (width - 2 * between) / 3;
}

// As many notes as the column holds, and how many were left out.
std::string notes_text(const Sheet& sheet, const ReportSubject& subject, double width) {
  const std::vector<std::string> all = notes(subject);
  std::string text;
  std::size_t shown = 0;
  for (; shown < all.size() && shown < notes_shown_at_most; ++shown) {
    const std::string longer = text + (shown > 0 ? "  \u2022  " : "") + all[shown];
    if (shown > 0 && sheet.extent({.text = longer, .size_pt = small_pt, .width_pt = width}).height_pt >
                         most_column_height - 12)
      break;
    text = longer;
  }
  if (shown < all.size()) text += "  \u2022  and " + std::to_string(all.size() - shown) + " more in the JSON";
  return text;
}

std::vector<Column> columns(const Sheet& sheet, const ReportSubject& subject, double width) {
  return {{"How it was read", method(subject)},
          {"What \u00b1 is, and what it is not", what_the_interval_is(subject)},
          {"Notes", notes_text(sheet, subject, column_width(width))}};
}

Words body(const std::string& text, double width) {
  return {.text = text, .size_pt = small_pt, .width_pt = width, .most_lines = 12};
}

// A name so long that it would push the sum off the page loses its middle.
std::string short_name(const std::string& path) {
  constexpr std::size_t longest = 56;
  const std::string name = std::filesystem::path(path).filename().string();
  if (name.size() <= longest) return name;
  return name.substr(0, longest / 2) + "..." + name.substr(name.size() - longest / 2);
}

std::string file_line(const InputFile& file) {
  return short_name(file.file) + ",  " + thousands(file.size) + " bytes,  SHA-256 " +
         file.sha256.substr(0, 16) + "\u2026";
}

Words files_line(const std::string& what, const InputFile& file, double width) {
  return {.text = what + "  " + file_line(file), .size_pt = small_pt, .width_pt = width, .most_lines = 1};
}

constexpr double files_row = 8.6, caution_room = 27;

}  // namespace

double foot_height(const Sheet& sheet, const ReportSubject& subject, double width) {
  double tallest = 0;
  for (const Column& column : columns(sheet, subject, width))
    tallest = std::max(tallest, sheet.extent(body(column.text, column_width(width))).height_pt);
  return 15 + tallest + 5 + files_row * static_cast<double>(subject.facts.inputs.size()) + 4 + caution_room +
         10;
}

void draw_foot(Sheet& sheet, const ReportSubject& subject, const Ground& ground) {
  double x = ground.x, tallest = 0;
  const double width = column_width(ground.width);
  for (const Column& column : columns(sheet, subject, ground.width)) {
    const double y = ground.y + draw_heading(sheet, column.heading, x, ground.y, width);
    tallest = std::max(tallest, sheet.write(x, y, body(column.text, width)));
    x += width + between;
  }
  double y = ground.y + 15 + tallest + 5;
  constexpr const char* roles[] = {"Design", "Scan", "Box file"};
  for (std::size_t i = 0; i < std::min<std::size_t>(3, subject.facts.inputs.size()); ++i, y += files_row) {
    sheet.write(ground.x, y, {.text = roles[i], .size_pt = small_pt, .weight = Weight::strong});
    sheet.write(ground.x + 34, y, files_line("", subject.facts.inputs[i], ground.width - 34));
  }
  y += 4;
  sheet.fill(ground.x, y, ground.width, caution_room, ink::tint);
  sheet.fill(ground.x, y, 2.5, caution_room, ink::text);
  sheet.write(ground.x + 9, y + 4,
              {.text = caution,
               .size_pt = 6.6,
               .weight = Weight::medium,
               .width_pt = ground.width - 16,
               .most_lines = 2});
  y += caution_room + 3;
  sheet.write(ground.x, y,
              {.text = "Boxfettle " BOXFETTLE_VERSION
                       ". Full sums of the files and every figure: boxfettle scan --json",
               .size_pt = 5.6,
               .colour = ink::quiet});
  sheet.write(ground.right(), y,
              {.text = "page 1 of 1", .size_pt = 5.6, .colour = ink::quiet, .align = Align::right});
}

}  // namespace boxfettle
