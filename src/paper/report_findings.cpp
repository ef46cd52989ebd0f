#include <algorithm>
#include <cmath>

#include "paper/report_part.hpp"
#include "paper/report_words.hpp"

namespace boxfettle {
namespace {

constexpr double page_width = 515, words_at = 17;
constexpr double figures_height = 11, more_height = 10;
// Right edges of the columns of figures, from the table's left.
constexpr double depth_at = 196, limit_at = 230, area_at = 284, volume_at = 340;
constexpr double sign_at = 23, kind_at = 62, place_at = 352;

Words sentence(const Finding& finding) {
  return {.text = finding.text, .size_pt = 6.8, .width_pt = page_width - words_at, .most_lines = 2};
}

double row_height(const Sheet& sheet, const Finding& finding) {
  return figures_height + sheet.extent(sentence(finding)).height_pt + 3;
}

std::string nothing_found(const ScanReading& reading) {
  if (!reading.measured) return "Nothing was measured: see the notes.";
  return "Nothing was found beyond the scan's own scatter of " + figure(reading.noise_mm, 3) + " mm a point.";
}

void draw_column_names(Sheet& sheet, double x, double y) {
  const auto name = [&](double at, Align align, const char* text) {
    sheet.write(x + at, y, {.text = text, .size_pt = 6, .colour = ink::quiet, .align = align});
  };
  name(depth_at, Align::right, "depth \u00b1 95 %, mm");
  name(limit_at, Align::right, "limit");
  name(area_at, Align::right, "area, mm\u00b2");
  name(volume_at, Align::right, "volume, mm\u00b3");
  name(place_at, Align::left, "at x, y, z of the design, mm");
  name(page_width, Align::right, "view");
}

std::string depth_text(const Finding& f) {
  return signed_figure(f.depth_mm, 3) + " \u00b1\u2009" + figure(f.u95_mm, 3);
}

std::string place_text(const Eigen::Vector3d& at) {
  return figure(at.x(), 1) + ",  " + figure(at.y(), 1) + ",  " + figure(at.z(), 1);
}

void draw_finding(Sheet& sheet, const Finding& f, std::size_t number, const std::string& seen_on, double x,
                  double y) {
  const auto cell = [&](double at, Align align, const std::string& text, Weight weight = Weight::regular) {
    sheet.write(x + at, y, {.text = text, .size_pt = 7.2, .weight = weight, .align = align});
  };
  draw_number(sheet, number, x + 6, y + 4.8);
  draw_sign(sheet, f.severity, x + sign_at, y + 4.6, 4.2);
  cell(sign_at + 7, Align::left, std::string(name(f.severity)), Weight::bold);
  cell(kind_at, Align::left, std::string(name(f.kind)), Weight::strong);
  const bool has_depth = f.kind != FindingKind::unseen;
  if (has_depth) cell(depth_at, Align::right, depth_text(f), Weight::strong);
  if (has_depth) cell(limit_at, Align::right, figure(f.limit_mm, 2));
  if (f.area_mm2 > 0) cell(area_at, Align::right, figure(f.area_mm2, 1));
  if (f.volume_mm3 != 0) cell(volume_at, Align::right, signed_figure(f.volume_mm3, 1));
  cell(place_at, Align::left, place_text(f.where_mm));
  cell(page_width - 3, Align::right, seen_on);
  sheet.write(x + words_at, y + figures_height - 0.5, sentence(f));
}

}  // namespace

double findings_height(const Sheet& sheet, const ReportSubject& subject, std::size_t shown) {
  const auto& findings = subject.reading.findings;
  double height = 16;
  if (findings.empty()) return height + 14;
  height += 2;
  for (std::size_t i = 0; i < shown; ++i) height += row_height(sheet, findings[i]);
  return height + (shown < findings.size() ? more_height : 0);
}

std::size_t findings_that_fit(const Sheet& sheet, const ReportSubject& subject, double height) {
  std::size_t shown = subject.reading.findings.size();
  while (shown > 0 && findings_height(sheet, subject, shown) > height) --shown;
  return shown;
}

void draw_findings(Sheet& sheet, const ReportSubject& subject, std::size_t shown,
                   const std::vector<std::string>& seen_on, const Ground& ground) {
  const auto& findings = subject.reading.findings;
  double y = ground.y + draw_heading(sheet, "Findings", ground.x, ground.y, ground.width);
  if (findings.empty()) {
    sheet.write(ground.x, y, {.text = nothing_found(subject.reading), .size_pt = 7.4});
    return;
  }
  draw_column_names(sheet, ground.x, ground.y + 5);
  y += 1;
  for (std::size_t i = 0; i < shown; ++i) {
    draw_finding(sheet, findings[i], i + 1, seen_on[i], ground.x, y);
    y += row_height(sheet, findings[i]);
    sheet.rule(ground.x, y - 1.8, ground.right(), y - 1.8, 0.25);
  }
  if (shown < findings.size())
    sheet.write(ground.x + words_at, y,
                {.text = "and " + std::to_string(findings.size() - shown) +
                         " more in the JSON (boxfettle scan --json)",
                 .size_pt = 7,
                 .weight = Weight::strong});
}

}  // namespace boxfettle
