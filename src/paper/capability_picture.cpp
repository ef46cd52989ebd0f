#include "paper/capability_picture.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "paper/plot.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

constexpr double width = 640, height = 340;
constexpr PlotFrame frame{56, 76, 540, 200};

std::vector<double> counted(const std::vector<double>& values, const PlotRange& range, std::size_t bars) {
  std::vector<double> counts(bars, 0.0);
  for (const double value : values) {
    const double place = (value - range.low) / (range.high - range.low) * static_cast<double>(bars);
    counts[std::min(static_cast<std::size_t>(std::max(place, 0.0)), bars - 1)] += 1;
  }
  return counts;
}

std::string index_text(const char* index, const std::optional<Estimate>& told) {
  return told ? printed("%s %.2f (%.2f to %.2f)   ", index, told->value, told->low, told->high)
              : std::string();
}

void draw_bars(const Plot& plot, const std::vector<double>& counts, double least, double bar) {
  for (std::size_t i = 0; i < counts.size(); ++i) {
    const double from = least + bar * static_cast<double>(i);
    plot.drawing().box(plot.x(from) + 0.4, plot.y(counts[i]), plot.x(from + bar) - plot.x(from) - 0.8,
                       plot.y(0) - plot.y(counts[i]), "#9dbdd8");
  }
}

// The normal that has as many cores under it as the bars.
void draw_normal(const Plot& plot, const Capability& told, double top) {
  std::vector<SvgPoint> curve;
  for (int i = 0; i <= 120; ++i) {
    const double z = -3.5 + 7.0 * i / 120;
    curve.push_back(plot.at(told.mean + z * told.sd, top * std::exp(-0.5 * z * z)));
  }
  plot.drawing().path(curve, {svg_ink::data, 1.4});
}

}  // namespace

std::string capability_picture(const CapabilityAnswer& answer) {
  const Capability& told = answer.capability;
  const auto [least, most] = std::ranges::minmax(answer.values);
  // Root of the count, as far as the paper tells bars apart.
  const auto bars =
      static_cast<std::size_t>(std::clamp(std::sqrt(static_cast<double>(told.count)), 5.0, 60.0));
  const PlotRange filled{least, most};
  const std::vector<double> counts = counted(answer.values, filled, bars);
  const double bar = (most - least) / static_cast<double>(bars);
  const double curve_top =
      static_cast<double>(told.count) * bar / (told.sd * std::sqrt(2 * std::numbers::pi));

  std::vector<double> ends{least, most, told.mean - 3.5 * told.sd, told.mean + 3.5 * told.sd};
  if (answer.band.lower) ends.push_back(*answer.band.lower);
  if (answer.band.upper) ends.push_back(*answer.band.upper);
  const std::string title = "Capability of " + answer.column;
  const std::string words = index_text("Cp", told.cp) + index_text("Cpk", told.cpk) +
                            index_text("Pp", told.pp) + index_text("Ppk", told.ppk);
  SvgDrawing drawing(width, height, title, words);
  const Plot plot(drawing, frame, range_of(ends),
                  {0, 1.1 * std::max(*std::ranges::max_element(counts), curve_top)});
  drawing.write(frame.left, 24, title, {13, TextAnchor::start, svg_ink::text, true});
  drawing.write(frame.left, 40, words, {9.5, TextAnchor::start, svg_ink::quiet});
  plot.y_scale("cores");
  draw_bars(plot, counts, least, bar);
  draw_normal(plot, told, curve_top);
  plot.x_scale(answer.column);
  if (answer.band.lower)
    plot.upright(*answer.band.lower, {svg_ink::limit, 1.2, "5 3"}, printed("lower %.5g", *answer.band.lower));
  if (answer.band.upper)
    plot.upright(*answer.band.upper, {svg_ink::limit, 1.2, "5 3"}, printed("upper %.5g", *answer.band.upper));
  plot.upright(told.mean, {svg_ink::quiet, 0.75}, printed("mean %.5g", told.mean));
  drawing.write(frame.left, height - 10,
                "Bars: cores counted. Curve: the normal with this mean and standard deviation.",
                {8.5, TextAnchor::start, svg_ink::quiet});
  return drawing.finished();
}

}  // namespace boxfettle
