#include "paper/gauge_picture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "paper/plot.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

constexpr double width = 720, height = 420;
constexpr PlotFrame readings_frame{64, 70, 440, 260};

// Places in the order in which names first appear.
class Order {
 public:
  std::size_t of(const std::string& name) {
    const auto [place, fresh] = places_.emplace(name, names_.size());
    if (fresh) names_.push_back(name);
    return place->second;
  }
  const std::vector<std::string>& names() const { return names_; }

 private:
  std::map<std::string, std::size_t> places_;
  std::vector<std::string> names_;
};

void draw_readings(SvgDrawing& drawing, const GaugeAnswer& answer, Order& people) {
  Order parts;
  std::vector<double> values;
  for (const GaugeReading& one : answer.readings) {
    parts.of(one.part);
    people.of(one.person);
    values.push_back(one.value);
  }
  const auto count = static_cast<double>(parts.names().size());
  const Plot plot(drawing, readings_frame, {-0.5, count - 0.5}, range_of(values));
  plot.y_scale(answer.column);
  const double bottom = readings_frame.top + readings_frame.height;
  for (std::size_t i = 0; i < parts.names().size() && parts.names().size() <= 20; ++i)
    drawing.write(plot.x(static_cast<double>(i)), bottom + 13, parts.names()[i],
                  {9, TextAnchor::middle, svg_ink::quiet});
  drawing.write(readings_frame.left + readings_frame.width, bottom + 26, "part",
                {9, TextAnchor::end, svg_ink::quiet});
  const double apart = 0.6 / static_cast<double>(std::max<std::size_t>(people.names().size(), 1));
  for (const GaugeReading& one : answer.readings) {
    const std::size_t who = people.of(one.person);
    const double beside =
        (static_cast<double>(who) - 0.5 * static_cast<double>(people.names().size() - 1)) * apart;
    const auto [x, y] = plot.at(static_cast<double>(parts.of(one.part)) + beside, one.value);
    drawing.mark(x, y, series_look(who).shape, 2.2, series_look(who).colour);
  }
}

void draw_people(SvgDrawing& drawing, const std::vector<std::string>& people) {
  double x = readings_frame.left;
  for (std::size_t i = 0; i < std::min<std::size_t>(people.size(), 8); ++i) {
    drawing.mark(x + 4, height - 28, series_look(i).shape, 2.6, series_look(i).colour);
    drawing.write(x + 12, height - 25, people[i], {9, TextAnchor::start, svg_ink::quiet});
    x += 26 + 6.0 * static_cast<double>(people[i].size());
  }
}

// Standard deviations as bars with their intervals.
void draw_shares(SvgDrawing& drawing, const GaugeStudy& study) {
  struct Bar {
    const char* what;
    const Estimate* variance;
  };
  const std::array<Bar, 4> bars{{{"repeatability", &study.repeatability},
                                 {"people", &study.reproducibility},
                                 {"gauge, both", &study.gauge},
                                 {"parts", &study.parts}}};
  const double total = std::sqrt(study.total.value), from = 540, room = 150;
  double y = 96;
  drawing.write(from, 84, "part of the total standard deviation", {9, TextAnchor::start, svg_ink::quiet});
  for (const Bar& bar : bars) {
    const double share = std::sqrt(bar.variance->value) / total;
    drawing.write(from, y + 12, printed("%s %.1f %%", bar.what, 100 * share), {9.5, TextAnchor::start});
    drawing.box(from, y + 18, room, 10, svg_ink::tint);
    drawing.box(from, y + 18, room * std::min(share, 1.0), 10, svg_ink::data);
    const double low = std::min(std::sqrt(bar.variance->low) / total, 1.0),
                 high = std::min(std::sqrt(bar.variance->high) / total, 1.0);
    drawing.line(from + room * low, y + 32, from + room * high, y + 32, {svg_ink::quiet, 1.2});
    y += 48;
  }
  drawing.write(from, y + 10, printed("%d kinds of part told apart", study.ndc), {9.5, TextAnchor::start});
}

}  // namespace

std::string gauge_picture(const GaugeAnswer& answer) {
  const std::string title = "Gauge study of " + answer.column;
  const std::string words =
      printed("The gauge is %.1f %% of the total scatter (%.1f to %.1f)", answer.study.grr_percent.value,
              answer.study.grr_percent.low, answer.study.grr_percent.high);
  SvgDrawing drawing(width, height, title, words);
  drawing.write(readings_frame.left, 24, title, {13, TextAnchor::start, svg_ink::text, true});
  drawing.write(readings_frame.left, 40, words, {9.5, TextAnchor::start, svg_ink::quiet});
  Order people;
  draw_readings(drawing, answer, people);
  draw_people(drawing, people.names());
  draw_shares(drawing, answer.study);
  return drawing.finished();
}

}  // namespace boxfettle
