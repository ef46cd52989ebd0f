#include <algorithm>
#include <cmath>

#include "paper/report_part.hpp"
#include "paper/report_words.hpp"

namespace boxfettle {
namespace {

struct FigureRow {
  std::string what, value, give_or_take, limit;
};

std::string give_or_take(double u95, int decimals) {
  return u95 > 0 ? "\u00b1\u2009" + figure(u95, decimals) : "";
}

std::vector<FigureRow> halves_rows(const HalvesReading& h, const Limits& limits) {
  const std::string mismatch = figure(limits.mismatch_mm, 2), gap = figure(limits.gap_mm, 2);
  return {
      {"Mismatch along x", signed_figure(h.mismatch_mm.x(), 3), give_or_take(h.mismatch_u95_mm, 3), ""},
      {"Mismatch along y", signed_figure(h.mismatch_mm.y(), 3), give_or_take(h.mismatch_u95_mm, 3), ""},
      {"Mismatch, worst on the outline", figure(h.mismatch_worst_mm, 3), give_or_take(h.mismatch_u95_mm, 3),
       mismatch},
      {"Opening (gap), middle", signed_figure(h.gap_mm, 3), give_or_take(h.gap_u95_mm, 3), ""},
      {"Opening, worst on the outline", signed_figure(h.gap_worst_mm, 3), give_or_take(h.gap_u95_mm, 3), gap},
      {"Turn about the parting normal, \u00b0", signed_figure(h.rotation_deg, 4),
       give_or_take(h.rotation_u95_deg, 4), ""},
      {"Tilt about x, \u00b0", signed_figure(h.tilt_deg.x(), 4), give_or_take(h.tilt_u95_deg.x(), 4), ""},
      {"Tilt about y, \u00b0", signed_figure(h.tilt_deg.y(), 4), give_or_take(h.tilt_u95_deg.y(), 4), ""},
  };
}

void draw_row(Sheet& sheet, const FigureRow& row, const Ground& ground, double y, Weight weight,
              const Rgb& colour) {
  const auto cell = [&](double x, Align align, const std::string& text) {
    sheet.write(x, y, {.text = text, .size_pt = 7, .weight = weight, .colour = colour, .align = align});
  };
  cell(ground.x, Align::left, row.what);
  cell(ground.right() - 76, Align::right, row.value);
  cell(ground.right() - 34, Align::right, row.give_or_take);
  cell(ground.right(), Align::right, row.limit);
}

}  // namespace

void draw_halves(Sheet& sheet, const ReportSubject& subject, const Ground& ground) {
  double y = ground.y + draw_heading(sheet, "Upper half against the lower", ground.x, ground.y, ground.width);
  const auto& halves = subject.reading.halves;
  if (!halves || !halves->told) {
    sheet.write(ground.x, y + 2,
                {.text = "Cannot be told. " + (halves ? halves->why_not : std::string()),
                 .width_pt = ground.width,
                 .most_lines = 5});
    return;
  }
  draw_row(sheet, {"", "mm", "95 %", "limit"}, ground, ground.y + 4, Weight::regular, ink::quiet);
  const std::vector<FigureRow> rows = halves_rows(*halves, subject.box->limits);
  const double row_height =
      std::clamp((ground.bottom() - y - 4) / static_cast<double>(rows.size()), 10.2, 13.5);
  for (const FigureRow& row : rows) {
    draw_row(sheet, row, ground, y, row.limit.empty() ? Weight::regular : Weight::strong, ink::text);
    y += row_height;
    const double under = y - 0.5 * (row_height - 8.6);
    sheet.rule(ground.x, under, ground.right(), under, 0.25);
  }
}

void draw_surface_figures(Sheet& sheet, const ReportSubject& subject, const Ground& ground) {
  const ScanReading& reading = subject.reading;
  const Deviation& d = reading.deviation;
  const double y =
      ground.y + draw_heading(sheet, "Whole surface against the design", ground.x, ground.y, ground.width);
  if (!reading.measured) {
    sheet.write(ground.x, y, {.text = "Not measured.", .colour = ink::quiet});
    return;
  }
  const auto percent = [](double share) { return figure(100 * share, 1) + "\u2009%"; };
  struct Told {
    std::string value, what;
  };
  const std::vector<Told> told{
      {signed_figure(d.mean_mm, 3) + " mm", "mean"},
      {figure(d.sd_mm, 3) + " mm", "standard deviation"},
      {signed_figure(d.p05_mm, 3) + " to " + signed_figure(d.p95_mm, 3), "90 % of points, mm"},
      {percent(d.within_limit_fraction), "within " + figure(subject.surface_limit_mm(), 2) + " mm"},
      {percent(d.coverage_fraction), "of the surface seen"},
      {figure(reading.noise_mm, 3) + " mm", "scatter of one point"}};
  const std::size_t columns = ground.width > 400 ? 6 : 3;
  const double width = ground.width / static_cast<double>(columns);
  for (std::size_t i = 0; i < told.size(); ++i) {
    const double x = ground.x + width * static_cast<double>(i % columns);
    const double top = y + 21 * static_cast<double>(i / columns);
    sheet.write(x, top, {.text = told[i].value, .size_pt = 7.6, .weight = Weight::strong});
    sheet.write(x, top + 9.6, {.text = told[i].what, .size_pt = 6, .colour = ink::quiet});
  }
}

}  // namespace boxfettle
