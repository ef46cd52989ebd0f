#include <cairo.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "paper/report_part.hpp"
#include "paper/report_words.hpp"

namespace boxfettle {
namespace {

// A measured point with the place of the design's outline it belongs to, in the parting face's axes.
struct Strayed {
  Eigen::Vector2d foot, stray;
  bool outside;
};
using Outline = std::vector<Strayed>;

// The stretches that were seen, per line. Lines run with the solid on their left, so what strays to the right
// is outside.
std::vector<std::vector<Outline>> stretches(const PartingSection& section, const PartingFace& parting) {
  std::vector<std::vector<Outline>> lines;
  for (std::size_t k = 0; k < section.measured.size(); ++k) {
    const auto& design = section.design[k].points_mm;
    const auto& measured = section.measured[k].points_mm;
    std::vector<Outline> seen(1);
    const std::size_t count = measured.size() + (section.measured[k].closed ? 1 : 0);
    for (std::size_t i = 0; i < count; ++i) {
      const std::size_t at = i % measured.size();
      if (!measured[at].allFinite()) {
        if (!seen.back().empty()) seen.emplace_back();
        continue;
      }
      const Eigen::Vector2d foot = parting.at_parting_mm(design[at]);
      const Eigen::Vector2d stray = parting.at_parting_mm(measured[at]) - foot;
      const Eigen::Vector2d along = parting.at_parting_mm(design[(at + 1) % design.size()]) -
                                    parting.at_parting_mm(design[(at + design.size() - 1) % design.size()]);
      seen.back().push_back({foot, stray, along.x() * stray.y() - along.y() * stray.x() <= 0});
    }
    lines.push_back(std::move(seen));
  }
  return lines;
}

// How parting coordinates lie on the page.
struct Plan {
  Eigen::Vector2d middle_mm;
  double x, y, points_per_mm;
  Eigen::Vector2d at(const Eigen::Vector2d& mm) const {
    const Eigen::Vector2d from = points_per_mm * (mm - middle_mm);
    return {x + from.x(), y - from.y()};
  }
};

Plan plan(const PartingSection& section, const PartingFace& parting, const Ground& ground) {
  Eigen::Vector2d low(1e300, 1e300), high(-1e300, -1e300);
  for (const Polyline& line : section.design)
    for (const Eigen::Vector3d& p : line.points_mm) {
      low = low.cwiseMin(parting.at_parting_mm(p));
      high = high.cwiseMax(parting.at_parting_mm(p));
    }
  const Eigen::Vector2d size = (high - low).cwiseMax(1e-3);
  return {0.5 * (low + high), ground.x + 0.5 * ground.width, ground.y + 0.5 * ground.height,
          std::min(ground.width / size.x(), ground.height / size.y())};
}

constexpr double shown_pt = 9, longest_pt = 16;  // of a usual stray, and of any

// The round factor under which the larger of a usual stray (9 in 10 are smaller) and half the limit shows
// as `shown_pt`.
double exaggeration(const std::vector<std::vector<Outline>>& lines, double limit_mm, double points_per_mm) {
  std::vector<double> sizes;
  for (const auto& line : lines)
    for (const Outline& stretch : line)
      for (const Strayed& one : stretch) sizes.push_back(one.stray.norm());
  double usual = 0.5 * limit_mm;
  if (!sizes.empty()) {
    const auto at = sizes.begin() + static_cast<std::ptrdiff_t>(0.9 * static_cast<double>(sizes.size() - 1));
    std::nth_element(sizes.begin(), at, sizes.end());
    usual = std::max(usual, *at);
  }
  constexpr std::array round{1000.0, 500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0};
  for (const double factor : round)
    if (factor * usual * points_per_mm <= shown_pt) return factor;
  return 1;
}

// Where a measured point is drawn: strays beyond `longest_pt` are cut there.
Eigen::Vector2d drawn(const Strayed& one, double factor, double points_per_mm) {
  const double length_pt = factor * one.stray.norm() * points_per_mm;
  return one.foot + factor * std::min(1.0, longest_pt / std::max(length_pt, 1e-9)) * one.stray;
}

void move(cairo_t* pen, const Eigen::Vector2d& to, bool first) {
  first ? cairo_move_to(pen, to.x(), to.y()) : cairo_line_to(pen, to.x(), to.y());
}

void draw_design(cairo_t* pen, const PartingSection& section, const PartingFace& parting, const Plan& on) {
  for (const Polyline& line : section.design) {
    for (std::size_t i = 0; i < line.points_mm.size(); ++i)
      move(pen, on.at(parting.at_parting_mm(line.points_mm[i])), i == 0);
    if (line.closed) cairo_close_path(pen);
  }
  cairo_set_source_rgb(pen, 0.925, 0.928, 0.935);
  cairo_set_fill_rule(pen, CAIRO_FILL_RULE_EVEN_ODD);
  cairo_fill_preserve(pen);
  cairo_set_fill_rule(pen, CAIRO_FILL_RULE_WINDING);
  cairo_set_source_rgb(pen, 0.45, 0.47, 0.50);
  cairo_set_line_width(pen, 0.5);
  cairo_stroke(pen);
}

// One side of the design at a time: solid where the core stands outside, dashed where it stands inside.
void draw_measured(cairo_t* pen, const std::vector<std::vector<Outline>>& lines, double factor, bool outside,
                   const Plan& on, const Rgb& colour) {
  for (const auto& line : lines)
    for (const Outline& stretch : line) {
      bool drawing = false;
      for (std::size_t i = 1; i < stretch.size(); ++i) {
        const bool here = stretch[i].outside == outside;
        if (here && !drawing) move(pen, on.at(drawn(stretch[i - 1], factor, on.points_per_mm)), true);
        if (here) move(pen, on.at(drawn(stretch[i], factor, on.points_per_mm)), false);
        drawing = here;
      }
    }
  constexpr std::array dashes{2.6, 1.5};
  cairo_set_source_rgb(pen, colour[0], colour[1], colour[2]);
  cairo_set_line_width(pen, 0.95);
  if (!outside) cairo_set_dash(pen, dashes.data(), 2, 0);
  cairo_stroke(pen);
  cairo_set_dash(pen, nullptr, 0, 0);
}

double bar_length_mm(double widest_mm) {
  const double power = std::pow(10, std::floor(std::log10(widest_mm)));
  for (const double step : {5.0, 2.0, 1.0})
    if (step * power <= widest_mm) return step * power;
  return power;
}

// Key and scale bar on one line under the drawing.
void draw_key(Sheet& sheet, const Plan& on, const Rgb& out, const Rgb& in, const Ground& ground) {
  cairo_t* const pen = sheet.pen();
  const double y = ground.y + 6, size = 6.2;
  double x = ground.x;
  const auto key = [&](const Rgb& colour, double width, bool dashed, const std::string& words) {
    constexpr std::array dashes{2.6, 1.5};
    if (dashed) cairo_set_dash(pen, dashes.data(), 2, 0);
    sheet.rule(x, y, x + 15, y, width, colour);
    cairo_set_dash(pen, nullptr, 0, 0);
    const Words text{.text = words, .size_pt = size};
    sheet.write(x + 18, y - 0.5 * sheet.extent(text).height_pt, text);
    x += 18 + sheet.extent(text).width_pt + 9;
  };
  key({0.45, 0.47, 0.50}, 0.5, false, "design");
  key(out, 0.95, false, "measured, outside");
  key(in, 0.95, true, "inside");
  const double bar_mm = bar_length_mm(48 / on.points_per_mm), bar_pt = bar_mm * on.points_per_mm;
  const double left = ground.right() - bar_pt;
  sheet.rule(left, y, ground.right(), y, 1.2, ink::text);
  const Words bar{.text = figure(bar_mm, bar_mm < 1 ? 1 : 0) + " mm", .size_pt = size, .align = Align::right};
  sheet.write(left - 3, y - 0.5 * sheet.extent(bar).height_pt, bar);
}

}  // namespace

void draw_section(Sheet& sheet, const ReportSubject& subject, const Ground& ground) {
  const PartingSection& section = subject.reading.section;
  const PartingFace& parting = subject.box->parting;
  constexpr const char* heading = "Section at the parting face";
  constexpr double heading_height = 15, key_height = 12, around = 12;
  if (section.design.empty()) {
    const double y = ground.y + draw_heading(sheet, heading, ground.x, ground.y, ground.width);
    sheet.write(ground.x, y + 4, {.text = "The parting face does not cut the design.", .colour = ink::quiet});
    return;
  }
  const Plan on = plan(section, parting,
                       {ground.x + around, ground.y + heading_height + around, ground.width - 2 * around,
                        ground.height - heading_height - key_height - 2 * around});
  const auto lines = stretches(section, parting);
  const double factor = exaggeration(lines, subject.surface_limit_mm(), on.points_per_mm);
  draw_heading(sheet, heading, ground.x, ground.y, ground.width,
               "deviation drawn \u00d7 " + figure(factor, 0));
  const ColourScale deep{0.1, 1};
  const Rgb out = colour_of(0.75, deep), in = colour_of(-0.75, deep);
  draw_design(sheet.pen(), section, parting, on);
  draw_measured(sheet.pen(), lines, factor, true, on, out);
  draw_measured(sheet.pen(), lines, factor, false, on, in);
  draw_key(sheet, on, out, in, {ground.x, ground.bottom() - key_height, ground.width, key_height});
}

}  // namespace boxfettle
