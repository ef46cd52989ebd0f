// One panel of a picture with its two scales: where a value lies on the drawing, and ticks at round numbers.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "paper/svg_drawing.hpp"

namespace boxfettle {

struct PlotFrame {
  double left, top, width, height;
};

// What one scale shows; widened where it is empty.
struct PlotRange {
  double low, high;
};
// Round everything given, with a little room; values that are not finite are passed over.
PlotRange range_of(std::span<const double> values);

// Ticks at 1, 2 or 5 times a power of ten, about `wanted` of them; with the digits that tell them apart.
struct Ticks {
  std::vector<double> at;
  int decimals;
};
Ticks round_ticks(const PlotRange& range, int wanted);
// With thin spaces at the thousands: "24 000", "0.05".
std::string tick_text(double value, int decimals);

// How the members of a group are told apart: by shape first, by colour as well.
struct SeriesLook {
  MarkShape shape;
  std::string_view colour;
};
SeriesLook series_look(std::size_t member);

class Plot {
 public:
  Plot(SvgDrawing& drawing, const PlotFrame& frame, const PlotRange& x, const PlotRange& y);

  double x(double value) const;
  double y(double value) const;
  SvgPoint at(double px, double py) const { return {x(px), y(py)}; }
  const PlotFrame& frame() const { return frame_; }
  SvgDrawing& drawing() const { return drawing_; }

  void x_scale(std::string_view label) const;
  void y_scale(std::string_view label) const;
  // Across the panel at a value, with words at its right end, outside the panel.
  void level(double value, const Stroke& stroke, std::string_view words) const;
  void upright(double value, const Stroke& stroke, std::string_view words) const;

 private:
  SvgDrawing& drawing_;
  PlotFrame frame_;
  PlotRange x_, y_;
};

}  // namespace boxfettle
