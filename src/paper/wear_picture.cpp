#include "paper/wear_picture.hpp"

#include <algorithm>
#include <cmath>

#include "paper/plot.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

constexpr double width = 720, height = 400;
constexpr PlotFrame frame{64, 76, 540, 250};

double last_shown(const WearAnswer& answer) {
  const Wear& wear = answer.wear;
  const double reached = wear.shots_to_limit ? wear.now_shots + 1.05 * wear.shots_to_limit->high : 0;
  // A limit that is ages away would press the readings into a corner.
  return std::clamp(reached, 1.1 * wear.now_shots, 3 * std::max(wear.now_shots, 1.0));
}

Plot scaled(SvgDrawing& drawing, const WearAnswer& answer) {
  std::vector<double> shots, depths{0, answer.settings.limit_mm};
  for (const WearReading& one : answer.readings) {
    shots.push_back(one.shots);
    depths.push_back(std::abs(one.depth_mm) + one.u95_mm.value_or(0));
  }
  const double first = *std::ranges::min_element(shots);
  return {drawing,
          frame,
          {std::min(first - 0.03 * last_shown(answer), first), last_shown(answer)},
          range_of(depths)};
}

void draw_reading(const Plot& plot, const WearReading& one, bool build_up, std::size_t patch) {
  const double depth = build_up ? -one.depth_mm : one.depth_mm;
  const std::string_view colour = series_look(patch).colour;
  const auto [x, y] = plot.at(one.shots, depth);
  if (one.u95_mm)
    plot.drawing().line(x, plot.y(depth - *one.u95_mm), x, plot.y(depth + *one.u95_mm), {colour, 0.8});
  plot.drawing().mark(x, y, series_look(patch).shape, 2.6, colour);
}

// From the last repair to the last reading drawn through, from there on dashed.
void draw_line(const Plot& plot, const PatchWear& patch, const WearAnswer& answer, double first,
               std::size_t number) {
  const std::string_view colour = series_look(number).colour;
  const double now = answer.wear.now_shots, rate = patch.rate_mm_per_1000.value / 1000;
  const double from = patch.set_back_at_shots.empty() ? first : patch.set_back_at_shots.back();
  const double reached =
      rate > 0 ? now + (answer.settings.limit_mm - patch.now_mm) / rate : last_shown(answer);
  const double to = std::clamp(reached, now, last_shown(answer));
  const auto at = [&](double shots) { return plot.at(shots, patch.now_mm + rate * (shots - now)); };
  plot.drawing().path({at(from), at(now)}, {colour, 1.1});
  plot.drawing().path({at(now), at(to)}, {colour, 1.1, "4 3"});
  if (number < 8)
    plot.drawing().write(at(now).first + 6, at(now).second - 5, patch.patch,
                         {8.5, TextAnchor::start, colour, true});
}

void draw_reached(const Plot& plot, const WearAnswer& answer) {
  const auto& shots = answer.wear.shots_to_limit;
  if (!shots) return;
  const double now = answer.wear.now_shots, last = last_shown(answer);
  const double from = plot.x(std::min(now + shots->low, last)),
               to = plot.x(std::min(now + shots->high, last));
  const double y = plot.y(answer.settings.limit_mm);
  plot.drawing().box(from, y - 4, std::max(to - from, 1.0), 8, "#f1d9d7");
  if (now + shots->value <= last)
    plot.drawing().mark(plot.x(now + shots->value), y, MarkShape::diamond, 3.6, svg_ink::signal);
}

}  // namespace

std::string wear_picture(const WearAnswer& answer) {
  const Wear& wear = answer.wear;
  const std::string words =
      wear.shots_to_limit ? printed("Limit reached in %.0f shots (%.0f to %.0f); measure again after %.0f",
                                    wear.shots_to_limit->value, wear.shots_to_limit->low,
                                    wear.shots_to_limit->high, answer.interval.shots)
                          : printed("When the limit is reached is not told; measure again after %.0f shots",
                                    answer.interval.shots);
  SvgDrawing drawing(width, height, "Wear and the shots that are left", words);
  drawing.write(frame.left, 24, "Wear and the shots that are left",
                {13, TextAnchor::start, svg_ink::text, true});
  drawing.write(frame.left, 40, words, {9.5, TextAnchor::start, svg_ink::quiet});
  const Plot plot = scaled(drawing, answer);
  plot.y_scale("depth, mm");
  plot.x_scale("shots");
  plot.level(answer.settings.limit_mm, {svg_ink::limit, 1.2, "5 3"},
             printed("limit %.3g", answer.settings.limit_mm));
  draw_reached(plot, answer);
  for (std::size_t p = 0; p < wear.patches.size(); ++p) {
    const PatchWear& patch = wear.patches[p];
    double first = wear.now_shots;
    for (const WearReading& one : answer.readings) {
      if (one.patch != patch.patch) continue;
      first = std::min(first, one.shots);
      draw_reading(plot, one, patch.build_up, p);
    }
    draw_line(plot, patch, answer, first, p);
  }
  drawing.write(frame.left, height - 10,
                "Bars: 95 % of a reading. Dashed: as it goes on. Shaded at the limit: when the first place "
                "gets there, 5 to 95 %.",
                {8.5, TextAnchor::start, svg_ink::quiet});
  return drawing.finished();
}

}  // namespace boxfettle
