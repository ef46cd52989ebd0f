#include "paper/first_piece_picture.hpp"

#include <algorithm>

#include "paper/plot.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

constexpr double width = 640, height = 330;
constexpr PlotFrame frame{56, 70, 480, 200};

// How large a part may still be bad, over the pieces checked, for a number found bad.
void draw_bound(const Plot& plot, const FirstPieceAnswer& answer, std::size_t bad, std::size_t most) {
  std::vector<SvgPoint> curve;
  const std::size_t step = std::max<std::size_t>(most / 300, 1);
  for (std::size_t checked = std::max<std::size_t>(bad, 1); checked <= most; checked += step)
    curve.push_back(
        plot.at(static_cast<double>(checked), 100 * at_most_bad(checked, bad, answer.confidence)));
  plot.drawing().path(curve, {bad == 0 ? svg_ink::data : svg_ink::quiet, 1.3});
  plot.drawing().write(curve.back().first + 4, curve.back().second + 3, std::to_string(bad) + " bad",
                       {8.5, TextAnchor::start, bad == 0 ? svg_ink::data : svg_ink::quiet});
}

void draw_outcomes(const Plot& plot, const PlanAnswer& plan) {
  std::vector<SvgPoint> curve;
  for (const PlanAnswer::At& at : plan.outcomes)
    curve.push_back(plot.at(100 * at.bad, 100 * at.outcome.accepted));
  plot.drawing().path(curve, {svg_ink::data, 1.4});
  for (const auto& [x, y] : curve) plot.drawing().mark(x, y, MarkShape::dot, 2.2, svg_ink::data);
}

std::string plan_picture(const FirstPieceAnswer& answer) {
  const PlanAnswer& plan = *answer.plan;
  SvgDrawing drawing(width, height, "What the plan accepts", "Chance of acceptance over the bad fraction");
  drawing.write(frame.left, 24, "What the plan accepts", {13, TextAnchor::start, svg_ink::text, true});
  const Plot plot(drawing, frame, {0, 100 * plan.outcomes.back().bad}, {0, 105});
  plot.y_scale("accepted, %");
  plot.x_scale("bad in the run, %");
  draw_outcomes(plot, plan);
  return drawing.finished();
}

}  // namespace

std::string first_piece_picture(const FirstPieceAnswer& answer) {
  if (answer.plan) return plan_picture(answer);
  const std::size_t found = answer.pieces ? answer.pieces->bad : 0;
  const std::size_t most = std::max<std::size_t>(answer.pieces ? 2 * answer.pieces->checked : 0, 60);
  const std::string words =
      answer.pieces
          ? printed("%zu bad of %zu checked: up to %.3g %% of the run may still be bad (%.4g %% confidence)",
                    found, answer.pieces->checked, 100 * answer.pieces->at_most, 100 * answer.confidence)
          : std::string("How many may still be bad");
  SvgDrawing drawing(width, height, "What first pieces allow", words);
  drawing.write(frame.left, 24, "What first pieces allow", {13, TextAnchor::start, svg_ink::text, true});
  drawing.write(frame.left, 40, words, {9.5, TextAnchor::start, svg_ink::quiet});
  const Plot plot(drawing, frame, {0, static_cast<double>(most)}, {0, 105});
  plot.y_scale("may be bad, %");
  plot.x_scale("pieces checked");
  draw_bound(plot, answer, 0, most);
  if (found > 0) draw_bound(plot, answer, found, most);
  if (answer.pieces) {
    const auto [x, y] = plot.at(static_cast<double>(answer.pieces->checked), 100 * answer.pieces->at_most);
    drawing.mark(x, y, MarkShape::diamond, 4, svg_ink::signal);
    drawing.write(x + 8, y - 6, "this run", {9, TextAnchor::start, svg_ink::signal, true});
  }
  return drawing.finished();
}

}  // namespace boxfettle
