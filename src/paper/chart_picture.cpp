#include "paper/chart_picture.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

#include "paper/plot.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

constexpr double width = 720, left = 64, panel_width = 560, main_height = 220, spread_height = 110;
constexpr double head = 74, line_height = 12, gap = 46, foot = 56;
// More points than the paper has columns are drawn as the least and the greatest of each column.
constexpr std::size_t most_drawn = 1200;

// What one panel shows of a point.
struct Shown {
  double value;
  ChartLimits limits;
};
using Show = std::optional<Shown> (*)(const ChartPoint&);

std::optional<Shown> main_value(const ChartPoint& point) {
  if (!point.value) return std::nullopt;
  return Shown{*point.value, point.limits};
}

std::optional<Shown> spread_value(const ChartPoint& point) {
  if (!point.spread) return std::nullopt;
  return Shown{*point.spread, point.spread_limits};
}

std::vector<std::size_t> drawn_points(const std::vector<ChartPoint>& points, Show show) {
  const std::size_t bucket = std::max<std::size_t>(2 * points.size() / most_drawn, 1);
  std::vector<std::size_t> drawn;
  for (std::size_t start = 0; start < points.size(); start += bucket) {
    std::optional<std::size_t> least, greatest;
    for (std::size_t i = start; i < std::min(start + bucket, points.size()); ++i) {
      const auto shown = show(points[i]);
      if (!shown) continue;
      if (!least || shown->value < show(points[*least])->value) least = i;
      if (!greatest || shown->value > show(points[*greatest])->value) greatest = i;
    }
    if (!least) continue;
    drawn.push_back(std::min(*least, *greatest));
    if (*least != *greatest) drawn.push_back(std::max(*least, *greatest));
  }
  return drawn;
}

PlotRange value_range(const std::vector<ChartPoint>& points, const std::vector<std::size_t>& drawn,
                      Show show) {
  std::vector<double> all;
  for (const std::size_t i : drawn) {
    const Shown shown = *show(points[i]);
    all.insert(all.end(), {shown.value, shown.limits.lower, shown.limits.upper});
  }
  return range_of(all);
}

// Beside the lines, and apart from each other where the lines are close.
void draw_limit_words(const Plot& plot, const ChartLimits& limits) {
  const double x = plot.frame().left + plot.frame().width + 4, middle = plot.y(limits.centre) + 3;
  const auto word = [&](double y, double value, const char* what, std::string_view colour) {
    plot.drawing().write(x, y, printed("%s %.5g", what, value), {8.5, TextAnchor::start, colour});
  };
  word(std::min(plot.y(limits.upper) + 3, middle - 10), limits.upper, "upper", svg_ink::limit);
  word(middle, limits.centre, "centre", svg_ink::quiet);
  word(std::max(plot.y(limits.lower) + 3, middle + 10), limits.lower, "lower", svg_ink::limit);
}

// Limits as steps: each point has its own.
void draw_limits(const Plot& plot, const std::vector<ChartPoint>& points,
                 const std::vector<std::size_t>& drawn, Show show) {
  std::vector<SvgPoint> upper, lower, centre;
  for (const std::size_t i : drawn) {
    const ChartLimits limits = show(points[i])->limits;
    for (const double at : {static_cast<double>(i) - 0.5, static_cast<double>(i) + 0.5}) {
      upper.push_back(plot.at(at, limits.upper));
      lower.push_back(plot.at(at, limits.lower));
      centre.push_back(plot.at(at, limits.centre));
    }
  }
  plot.drawing().path(upper, {svg_ink::limit, 1, "5 3"});
  plot.drawing().path(lower, {svg_ink::limit, 1, "5 3"});
  plot.drawing().path(centre, {svg_ink::quiet, 0.75});
  draw_limit_words(plot, show(points[drawn.back()])->limits);
}

void draw_points(const Plot& plot, const ChartAnswer& answer, const std::vector<std::size_t>& drawn,
                 Show show, bool spread) {
  const std::vector<ChartPoint>& points = answer.chart.points;
  std::set<std::size_t> signalled;
  for (const ChartSignal& signal : answer.chart.signals)
    if (signal.of_spread == spread) signalled.insert(signal.index);
  std::vector<SvgPoint> line;
  for (const std::size_t i : drawn) line.push_back(plot.at(static_cast<double>(i), show(points[i])->value));
  plot.drawing().path(line, {svg_ink::data, 0.9});
  const bool few = drawn.size() < 160;
  for (std::size_t k = 0; k < drawn.size(); ++k) {
    const auto [x, y] = line[k];
    if (signalled.contains(drawn[k]))
      plot.drawing().mark(x, y, MarkShape::diamond, 3.4, svg_ink::signal);
    else if (few)
      plot.drawing().mark(x, y, MarkShape::dot, 1.9, svg_ink::data);
  }
}

// A word's place: moved up until it covers none that was written before.
struct WordPlace {
  double from, to, y;
  bool covers(const WordPlace& other) const {
    return from < other.to && other.from < to && std::abs(y - other.y) < 9;
  }
};

// Words at the first signal of each rule only: more would hide the points.
void draw_signal_words(const Plot& plot, const ChartAnswer& answer, bool spread) {
  std::set<RunRule> said;
  std::vector<WordPlace> written;
  for (const ChartSignal& signal : answer.chart.signals) {
    if (signal.of_spread != spread || !said.insert(signal.rule).second) continue;
    const ChartPoint& point = answer.chart.points[signal.index];
    const double x = plot.x(static_cast<double>(signal.index));
    const bool right_half = x > plot.frame().left + 0.7 * plot.frame().width;
    const double wide = 5 * static_cast<double>(name(signal.rule).size());
    WordPlace place{right_half ? x - wide : x, right_half ? x : x + wide,
                    plot.y(spread ? *point.spread : *point.value) - 7};
    while (std::ranges::any_of(written, [&](const WordPlace& one) { return place.covers(one); }))
      place.y -= 10;
    written.push_back(place);
    plot.drawing().write(x, place.y, name(signal.rule),
                         {.size = 8.5,
                          .anchor = right_half ? TextAnchor::end : TextAnchor::start,
                          .colour = svg_ink::signal,
                          .strong = true,
                          .over_lines = true});
  }
}

// Where it jumped; a drift as far as it is seen.
void draw_change(const Plot& plot, const ChartChange& change) {
  const auto& drift = change.shape.drift;
  const std::size_t first = drift ? drift->from : change.at.low,
                    last = drift ? change.last_signal : change.at.high;
  const double from = plot.x(static_cast<double>(first) - 0.5), to = plot.x(static_cast<double>(last) + 0.5);
  plot.drawing().box(from, plot.frame().top, to - from, plot.frame().height, svg_ink::band);
}

void draw_panel(SvgDrawing& drawing, const ChartAnswer& answer, const PlotFrame& frame, bool spread,
                std::string_view label) {
  const std::vector<ChartPoint>& points = answer.chart.points;
  const Show show = spread ? spread_value : main_value;
  const std::vector<std::size_t> drawn = drawn_points(points, show);
  if (drawn.empty()) return;
  const Plot plot(drawing, frame, {-0.5, static_cast<double>(points.size()) - 0.5},
                  value_range(points, drawn, show));
  if (!spread)
    for (const ChartChange& change : answer.chart.changes) draw_change(plot, change);
  plot.y_scale(label);
  plot.x_scale("point, from 0");
  draw_limits(plot, points, drawn, show);
  draw_points(plot, answer, drawn, show, spread);
  draw_signal_words(plot, answer, spread);
}

// What stands below the title, a line each: side by side the sentences would run off the paper.
std::vector<std::string> lines_below_title(const ChartAnswer& answer, const std::string& signals) {
  std::vector<std::string> lines{signals};
  if (answer.chart.changes.empty()) return lines;
  const std::string sentences = change_sentence(answer, answer.chart.changes.back());
  for (std::size_t from = 0; from < sentences.size();) {
    const std::size_t end = std::min(sentences.find(". ", from), sentences.size() - 1);
    lines.push_back(sentences.substr(from, end + 1 - from));
    from = end + 2;
  }
  return lines;
}

}  // namespace

std::string chart_picture(const ChartAnswer& answer) {
  const bool two = answer.chart.spread_limits.has_value();
  const std::string signals = std::to_string(answer.chart.points.size()) + " points, " +
                              std::to_string(answer.chart.signals.size()) + " signals";
  const std::vector<std::string> below_title = lines_below_title(answer, signals);
  const double top = head + line_height * static_cast<double>(below_title.size() - 1);
  const double height = top + main_height + (two ? gap + spread_height : 0) + foot;
  const std::string title = std::string(name(answer.chart.kind)) + " chart of " + answer.column;
  SvgDrawing drawing(width, height, title, signals);
  drawing.write(left, 24, title, {13, TextAnchor::start, svg_ink::text, true});
  for (std::size_t i = 0; i < below_title.size(); ++i)
    drawing.write(left, 40 + line_height * static_cast<double>(i), below_title[i],
                  {9.5, TextAnchor::start, svg_ink::quiet});
  draw_panel(drawing, answer, {left, top, panel_width, main_height}, false,
             answer.chart.kind == ChartKind::cusum ? "sums of " + answer.column : answer.column);
  if (two)
    draw_panel(drawing, answer, {left, top + main_height + gap, panel_width, spread_height}, true,
               answer.chart.kind == ChartKind::xbar_s ? "standard deviation" : "range");
  drawing.write(left, height - 10,
                "Diamonds are signals, named where each rule speaks first; shaded: where the level moved or drifts.",
                {8.5, TextAnchor::start, svg_ink::quiet});
  return drawing.finished();
}

}  // namespace boxfettle
