// What the page of a half has in place of section and halves: its parting face and its dowels.
#include <algorithm>
#include <cmath>
#include <vector>

#include "paper/report_part.hpp"
#include "paper/report_words.hpp"

namespace boxfettle {
namespace {

// Cells of one row, each with the right edge it is set to, from the ground's right; the first stands left.
struct Row {
  std::string what;
  std::vector<std::string> values;
};

void draw_row(Sheet& sheet, const Row& row, const std::vector<double>& edges, const Ground& ground, double y,
              Weight weight, const Rgb& colour) {
  const auto cell = [&](double x, Align align, const std::string& text) {
    sheet.write(x, y, {.text = text, .size_pt = 7, .weight = weight, .colour = colour, .align = align});
  };
  cell(ground.x, Align::left, row.what);
  for (std::size_t i = 0; i < row.values.size(); ++i)
    cell(ground.right() - edges[i], Align::right, row.values[i]);
}

constexpr double least_row = 10.2, most_row = 13.5;

void draw_rows(Sheet& sheet, const std::vector<Row>& rows, const std::vector<double>& edges,
               const Ground& ground) {
  const double height =
      std::clamp(ground.height / static_cast<double>(std::max<std::size_t>(rows.size(), 1)), least_row, most_row);
  double y = ground.y;
  for (const Row& row : rows) {
    draw_row(sheet, row, edges, ground, y, Weight::regular, ink::text);
    y += height;
    const double under = y - 0.5 * (height - 8.6);
    sheet.rule(ground.x, under, ground.right(), under, 0.25);
  }
}

std::string give_or_take(double u95, int decimals) {
  return u95 > 0 ? "\u00b1\u2009" + figure(u95, decimals) : "";
}

std::vector<Row> face_rows(const PartingFaceReading& face, const Limits& limits) {
  const std::string gap = figure(limits.gap_mm, 2);
  return {
      {"Flatness, least squares plane", {figure(face.flatness_ls_mm, 3), give_or_take(face.flatness_u95_mm, 3), ""}},
      {"Flatness, between two planes",
       {figure(face.flatness_min_zone_mm, 3), give_or_take(face.flatness_u95_mm, 3), gap}},
      {"Height (plus: proud), middle", {signed_figure(face.offset_mm, 3), give_or_take(face.offset_u95_mm, 3), ""}},
      {"Height, worst on the outline",
       {signed_figure(face.offset_worst_mm, 3), give_or_take(face.offset_u95_mm, 3), gap}},
      {"Tilt about x, \u00b0", {signed_figure(face.tilt_deg.x(), 4), give_or_take(face.tilt_u95_deg, 4), ""}},
      {"Tilt about y, \u00b0", {signed_figure(face.tilt_deg.y(), 4), give_or_take(face.tilt_u95_deg, 4), ""}},
      {"Seen of the face, %", {figure(100 * face.coverage_fraction, 1), "", ""}},
  };
}

Row dowel_row(const DowelReading& dowel) {
  const std::string id = dowel.id.substr(0, 12);
  if (!dowel.told) return {id + "  cannot be told: " + dowel.why_not.substr(0, 60), {}};
  const char* kind = dowel.kind == DowelKind::pin ? "pin" : dowel.kind == DowelKind::bore ? "bore" : "slot";
  return {id + "  " + kind,
          {figure(dowel.diameter_mm, 3) + " " + give_or_take(dowel.diameter_u95_mm, 3), figure(dowel.nominal_mm, 2),
           signed_figure(dowel.offset_mm.x(), 3) + ", " + signed_figure(dowel.offset_mm.y(), 3) + " " +
               give_or_take(dowel.at_u95_mm, 3)}};
}

}  // namespace

void draw_parting_face(Sheet& sheet, const ReportSubject& subject, const Ground& ground) {
  const double y =
      ground.y + draw_heading(sheet, "Parting face against the cavity", ground.x, ground.y, ground.width);
  const auto& face = subject.reading.parting_face;
  if (!face || !face->told) {
    sheet.write(ground.x, y + 2,
                {.text = "Cannot be told. " + (face ? face->why_not : std::string()),
                 .width_pt = ground.width,
                 .most_lines = 5});
    return;
  }
  const std::vector<double> edges{76, 34, 0};
  draw_row(sheet, {"", {"mm", "95 %", "limit"}}, edges, ground, ground.y + 4, Weight::regular, ink::quiet);
  draw_rows(sheet, face_rows(*face, subject.box->limits), edges, {ground.x, y, ground.width, ground.bottom() - y - 4});
}

void draw_dowels(Sheet& sheet, const ReportSubject& subject, const Ground& ground) {
  const double y =
      ground.y + draw_heading(sheet, "Dowels, where they meet the face", ground.x, ground.y, ground.width);
  const auto& dowels = subject.reading.dowels;
  if (dowels.empty()) {
    sheet.write(ground.x, y + 2,
                {.text = subject.reading.measured ? "The box file names none." : "Not measured.",
                 .colour = ink::quiet});
    return;
  }
  const std::vector<double> edges{128, 98, 0};
  draw_row(sheet, {"", {"across, mm", "file", "off its place x, y, mm"}}, edges, ground, y, Weight::regular,
           ink::quiet);
  const Ground under{ground.x, y + least_row, ground.width, ground.bottom() - y - least_row - 4};
  const auto room = static_cast<std::size_t>(std::max(under.height / least_row, 1.0));
  std::vector<Row> rows;
  for (std::size_t i = 0; i < dowels.size(); ++i) {
    if (rows.size() + 1 == room && i + 1 < dowels.size()) {
      rows.push_back({"and " + std::to_string(dowels.size() - i) + " more in the JSON", {}});
      break;
    }
    rows.push_back(dowel_row(dowels[i]));
  }
  draw_rows(sheet, rows, edges, under);
}

}  // namespace boxfettle
