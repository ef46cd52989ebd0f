#include "paper/plot.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "reading/printed.hpp"

namespace boxfettle {

PlotRange range_of(std::span<const double> values) {
  PlotRange range{1e300, -1e300};
  for (const double value : values) {
    if (!std::isfinite(value)) continue;
    range.low = std::min(range.low, value);
    range.high = std::max(range.high, value);
  }
  if (range.low > range.high) return {0, 1};
  const double room =
      range.high > range.low ? 0.05 * (range.high - range.low) : std::max(1e-6, 0.05 * std::abs(range.high));
  return {range.low - room, range.high + room};
}

Ticks round_ticks(const PlotRange& range, int wanted) {
  const double rough = (range.high - range.low) / std::max(wanted, 1);
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  const double share = rough / power;
  const double step = power * (share < 1.5 ? 1 : share < 3.5 ? 2 : share < 7.5 ? 5 : 10);
  Ticks ticks{{}, std::clamp(static_cast<int>(-std::floor(std::log10(step) + 1e-9)), 0, 12)};
  for (double i = std::ceil(range.low / step - 1e-9); i * step <= range.high + 1e-9 * step; ++i)
    ticks.at.push_back(i * step);
  return ticks;
}

std::string tick_text(double value, int decimals) {
  std::string text = printed("%.*f", decimals, value);
  if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-') text.erase(0, 1);
  const std::size_t point = std::min(text.find('.'), text.size());
  const std::size_t digits = text.front() == '-' ? point - 1 : point;
  if (digits < 5) return text;  // four digits read well together
  for (std::size_t i = point; i > 3 + (point - digits); i -= 3) text.insert(i - 3, "\u2009");
  return text;
}

SeriesLook series_look(std::size_t member) {
  constexpr std::array shapes{MarkShape::dot,   MarkShape::square, MarkShape::triangle,
                              MarkShape::cross, MarkShape::ring,   MarkShape::diamond};
  constexpr std::array<std::string_view, 5> colours{"#1f5a8c", "#8a5a00", "#4d7c2a", "#7a3b7e", "#14171c"};
  return {shapes[member % shapes.size()], colours[member % colours.size()]};
}

Plot::Plot(SvgDrawing& drawing, const PlotFrame& frame, const PlotRange& x, const PlotRange& y)
    : drawing_(drawing), frame_(frame), x_(x), y_(y) {}

double Plot::x(double value) const {
  return frame_.left + frame_.width * (value - x_.low) / (x_.high - x_.low);
}

double Plot::y(double value) const {
  return frame_.top + frame_.height * (1 - (value - y_.low) / (y_.high - y_.low));
}

void Plot::x_scale(std::string_view label) const {
  const double bottom = frame_.top + frame_.height;
  drawing_.line(frame_.left, bottom, frame_.left + frame_.width, bottom, {svg_ink::quiet, 0.75});
  const Ticks ticks = round_ticks(x_, 7);
  for (const double tick : ticks.at) {
    drawing_.line(x(tick), bottom, x(tick), bottom + 3, {svg_ink::quiet, 0.75});
    drawing_.write(x(tick), bottom + 13, tick_text(tick, ticks.decimals),
                   {9, TextAnchor::middle, svg_ink::quiet});
  }
  drawing_.write(frame_.left + frame_.width, bottom + 26, label, {9, TextAnchor::end, svg_ink::quiet});
}

void Plot::y_scale(std::string_view label) const {
  const Ticks ticks = round_ticks(y_, static_cast<int>(frame_.height / 36));
  for (const double tick : ticks.at) {
    drawing_.line(frame_.left, y(tick), frame_.left + frame_.width, y(tick), {svg_ink::tint, 0.75});
    drawing_.write(frame_.left - 6, y(tick) + 3, tick_text(tick, ticks.decimals),
                   {9, TextAnchor::end, svg_ink::quiet});
  }
  drawing_.write(frame_.left - 30, frame_.top - 17, label, {9, TextAnchor::start, svg_ink::quiet});
}

void Plot::level(double value, const Stroke& stroke, std::string_view words) const {
  drawing_.line(frame_.left, y(value), frame_.left + frame_.width, y(value), stroke);
  drawing_.write(frame_.left + frame_.width + 4, y(value) + 3, words,
                 {8.5, TextAnchor::start, stroke.colour});
}

void Plot::upright(double value, const Stroke& stroke, std::string_view words) const {
  drawing_.line(x(value), frame_.top, x(value), frame_.top + frame_.height, stroke);
  drawing_.write(x(value), frame_.top - 4, words, {8.5, TextAnchor::middle, stroke.colour});
}

}  // namespace boxfettle
