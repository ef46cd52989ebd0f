#include "paper/life_picture.hpp"

#include <algorithm>

#include "paper/figure.hpp"
#include "paper/plot.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

constexpr double width = 680, height = 380;
constexpr PlotFrame frame{60, 76, 560, 200};

double last_shown(const LifeAnswer& answer) {
  double last = 0;
  for (const LifeRecord& one : answer.records) last = std::max(last, one.high.value_or(one.low));
  if (answer.told) last = std::max(last, answer.told->life.quantile(0.95));
  return 1.04 * last;
}

void draw_curve(const Plot& plot, const ToldLife& told, double last) {
  std::vector<SvgPoint> curve;
  for (int i = 0; i <= 200; ++i) {
    const double at = last * i / 200;
    curve.push_back(plot.at(at, 100 * (1 - told.life.reliability(at))));
  }
  plot.drawing().path(curve, {svg_ink::data, 1.5});
  if (told.b10.low && told.b10.high)
    plot.drawing().line(plot.x(*told.b10.low), plot.y(10), plot.x(std::min(*told.b10.high, last)), plot.y(10),
                        {svg_ink::quiet, 1.2});
  plot.drawing().mark(plot.x(told.b10.value), plot.y(10), MarkShape::square, 3, svg_ink::quiet);
  plot.drawing().write(plot.x(told.b10.value) + 6, plot.y(10) + 12, "B10 " + figure(told.b10.value),
                       {9, TextAnchor::start});
  if (told.renewal && told.renewal->age && *told.renewal->age <= last)
    plot.upright(*told.renewal->age, {svg_ink::limit, 1.2, "5 3"}, "renew at " + figure(*told.renewal->age));
}

// Below the curve, one row for failures and one for those that still hold; more than some hundred would be a
// smear and are thinned.
void draw_records(const Plot& plot, const std::vector<LifeRecord>& records) {
  const std::size_t step = std::max<std::size_t>(records.size() / 400, 1);
  const double failed_y = frame.top + frame.height + 42, sound_y = failed_y + 18;
  for (std::size_t i = 0; i < records.size(); i += step) {
    const LifeRecord& one = records[i];
    if (!one.failed()) {
      plot.drawing().mark(plot.x(one.low), sound_y, MarkShape::ring, 2.6, svg_ink::quiet);
      continue;
    }
    if (!one.exact())
      plot.drawing().line(plot.x(one.low), failed_y, plot.x(*one.high), failed_y, {svg_ink::signal, 1});
    plot.drawing().mark(plot.x(*one.high), failed_y, MarkShape::cross, 2.6, svg_ink::signal);
  }
  plot.drawing().write(frame.left - 6, failed_y + 3, "failed", {9, TextAnchor::end, svg_ink::signal});
  plot.drawing().write(frame.left - 6, sound_y + 3, "holding", {9, TextAnchor::end, svg_ink::quiet});
}

}  // namespace

std::string life_picture(const LifeAnswer& answer) {
  const std::string title = "Life in " + answer.column;
  const std::string words = answer.told
                                ? printed("Shape %.3g, scale %s, from %zu records with %zu failures",
                                          answer.told->life.shape, figure(answer.told->life.scale).c_str(),
                                          answer.told->life.records, answer.told->life.failures)
                                : std::string("No life can be fitted to these records");
  SvgDrawing drawing(width, height, title, words);
  drawing.write(frame.left, 24, title, {13, TextAnchor::start, svg_ink::text, true});
  drawing.write(frame.left, 40, words, {9.5, TextAnchor::start, svg_ink::quiet});
  const double last = last_shown(answer);
  const Plot plot(drawing, frame, {0, last}, {0, 102});
  plot.y_scale("failed, %");
  plot.x_scale(answer.column);
  if (answer.told) draw_curve(plot, *answer.told, last);
  draw_records(plot, answer.records);
  return drawing.finished();
}

}  // namespace boxfettle
