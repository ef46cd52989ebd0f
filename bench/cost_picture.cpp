#include "cost_picture.hpp"

#include <cmath>
#include <string_view>

#include "paper/plot.hpp"

namespace boxfettle::bench {
namespace {

void panel(SvgDrawing& drawing, const PlotFrame& frame, const std::vector<Cost>& costs,
           std::string_view what) {
  std::vector<double> sizes, times;
  for (const Cost& cost : costs) {
    sizes.push_back(std::log10(cost.size));
    times.insert(times.end(), {std::log10(cost.pass_ms), std::log10(cost.whole_ms)});
  }
  const Plot plot(drawing, frame, range_of(sizes), range_of(times));
  plot.x_scale(std::string("log10 of ") + std::string(what));
  plot.y_scale("log10 of ms");
  const auto series = [&](std::size_t member, auto time, std::string_view words) {
    const SeriesLook look = series_look(member);
    std::vector<SvgPoint> line;
    for (const Cost& cost : costs) line.push_back(plot.at(std::log10(cost.size), std::log10(time(cost))));
    drawing.path(line, {look.colour, 1});
    for (const SvgPoint& p : line) drawing.mark(p.first, p.second, look.shape, 6, look.colour);
    drawing.write(line.back().first - 4, line.back().second - 8, words, {9, TextAnchor::end, look.colour});
  };
  series(
      0, [](const Cost& c) { return c.pass_ms; }, "one pass");
  series(
      1, [](const Cost& c) { return c.whole_ms; }, "whole reading");
}

}  // namespace

std::string cost_picture(const std::vector<Cost>& against_points,
                         const std::vector<Cost>& against_triangles) {
  SvgDrawing drawing(
      640, 260, "What a reading costs",
      "Time of one pass and of a whole reading against points and against triangles, both scales "
      "logarithmic");
  panel(drawing, {60, 36, 230, 180}, against_points, "points");
  panel(drawing, {370, 36, 230, 180}, against_triangles, "triangles");
  return drawing.finished();
}

}  // namespace boxfettle::bench
