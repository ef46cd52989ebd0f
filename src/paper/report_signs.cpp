#include <cairo.h>

#include <cmath>
#include <numbers>

#include "paper/report_part.hpp"

namespace boxfettle {
namespace {

constexpr Rgb fit_green{0.10, 0.40, 0.24}, watch_amber{0.93, 0.67, 0.16}, hold_red{0.70, 0.11, 0.11},
    unsure_slate{0.36, 0.40, 0.46};

void set_colour(cairo_t* pen, const Rgb& colour) {
  cairo_set_source_rgb(pen, colour[0], colour[1], colour[2]);
}

void polygon(cairo_t* pen, double x, double y, double radius, int corners, double first_deg) {
  for (int i = 0; i < corners; ++i) {
    const double turn = (first_deg + 360.0 * i / corners) * std::numbers::pi / 180;
    cairo_line_to(pen, x + radius * std::cos(turn), y + radius * std::sin(turn));
  }
  cairo_close_path(pen);
}

void finish(cairo_t* pen, const Rgb& fill, double line) {
  set_colour(pen, fill);
  cairo_fill_preserve(pen);
  set_colour(pen, ink::text);
  cairo_set_line_width(pen, line);
  cairo_stroke(pen);
}

void stroke_mark(cairo_t* pen, const Rgb& colour, double width) {
  set_colour(pen, colour);
  cairo_set_line_width(pen, width);
  cairo_set_line_cap(pen, CAIRO_LINE_CAP_ROUND);
  cairo_stroke(pen);
  cairo_set_line_cap(pen, CAIRO_LINE_CAP_BUTT);
}

void circle_with_tick(cairo_t* pen, double x, double y, double r) {
  cairo_arc(pen, x, y, r, 0, 2 * std::numbers::pi);
  finish(pen, fit_green, 0.08 * r);
  cairo_move_to(pen, x - 0.42 * r, y + 0.04 * r);
  cairo_line_to(pen, x - 0.10 * r, y + 0.36 * r);
  cairo_line_to(pen, x + 0.44 * r, y - 0.34 * r);
  stroke_mark(pen, ink::white, 0.22 * r);
}

void triangle_with_stroke(cairo_t* pen, double x, double y, double r) {
  polygon(pen, x, y + 0.14 * r, 1.12 * r, 3, -90);
  finish(pen, watch_amber, 0.08 * r);
  cairo_move_to(pen, x, y - 0.38 * r);
  cairo_line_to(pen, x, y + 0.18 * r);
  cairo_move_to(pen, x, y + 0.48 * r);
  cairo_line_to(pen, x, y + 0.481 * r);
  stroke_mark(pen, ink::text, 0.20 * r);
}

void octagon_with_bar(cairo_t* pen, double x, double y, double r) {
  polygon(pen, x, y, 1.05 * r, 8, 22.5);
  finish(pen, hold_red, 0.08 * r);
  cairo_move_to(pen, x - 0.46 * r, y);
  cairo_line_to(pen, x + 0.46 * r, y);
  stroke_mark(pen, ink::white, 0.28 * r);
}

void diamond(cairo_t* pen, double x, double y, double r) {
  polygon(pen, x, y, 1.1 * r, 4, 0);
  finish(pen, unsure_slate, 0.08 * r);
}

void open_circle(cairo_t* pen, double x, double y, double r) {
  cairo_arc(pen, x, y, 0.8 * r, 0, 2 * std::numbers::pi);
  finish(pen, ink::white, 0.2 * r);
}

}  // namespace

void draw_sign(Sheet& sheet, ScanVerdict verdict, double x, double y, double radius) {
  cairo_t* const pen = sheet.pen();
  switch (verdict) {
    case ScanVerdict::fit:
      return circle_with_tick(pen, x, y, radius);
    case ScanVerdict::watch:
      return triangle_with_stroke(pen, x, y, radius);
    case ScanVerdict::hold:
      return octagon_with_bar(pen, x, y, radius);
    case ScanVerdict::cannot_tell:
      diamond(pen, x, y, radius);
  }
  Words question{.text = "?",
                 .size_pt = 1.3 * radius,
                 .weight = Weight::bold,
                 .colour = ink::white,
                 .align = Align::centre};
  sheet.write(x, y - 0.5 * sheet.extent(question).height_pt, question);
}

void draw_sign(Sheet& sheet, Severity severity, double x, double y, double radius) {
  cairo_t* const pen = sheet.pen();
  switch (severity) {
    case Severity::hold:
      return octagon_with_bar(pen, x, y, radius);
    case Severity::watch:
      return triangle_with_stroke(pen, x, y, radius);
    case Severity::note:
      return open_circle(pen, x, y, radius);
  }
}

void draw_number(Sheet& sheet, std::size_t number, double x, double y) {
  cairo_t* const pen = sheet.pen();
  cairo_arc(pen, x, y, 5.0, 0, 2 * std::numbers::pi);
  set_colour(pen, ink::text);
  cairo_fill(pen);
  Words digits{.text = std::to_string(number),
               .size_pt = 6.4,
               .weight = Weight::bold,
               .colour = ink::white,
               .align = Align::centre};
  sheet.write(x, y - 0.5 * sheet.extent(digits).height_pt, digits);
}

double draw_heading(Sheet& sheet, const std::string& text, double x, double y, double width,
                    const std::string& remark) {
  sheet.rule(x, y, x + width, y, 0.8, ink::text);
  sheet.write(x + width, y + 3.6,
              {.text = remark, .size_pt = 7, .weight = Weight::medium, .align = Align::right});
  return 3 + sheet.write(x, y + 3, {.text = text, .size_pt = 8, .weight = Weight::bold}) + 2;
}

}  // namespace boxfettle
