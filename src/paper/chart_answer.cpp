#include "paper/chart_answer.hpp"

#include <algorithm>

#include "paper/json_object.hpp"
#include "paper/notes_text.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;

Json limits_json(const ChartLimits& limits) {
  Json object;
  put(object, "centre", limits.centre);
  put(object, "lower", limits.lower);
  put(object, "upper", limits.upper);
  return object;
}

Json point_json(const ChartPoint& point, std::size_t index, const std::string& label) {
  Json object{{"index", index}, {"label", label}};
  if (!point.value) {
    object["missing"] = true;
    return object;
  }
  put(object, "value", point.value);
  put(object, "size", point.size);
  put(object, "lower", point.limits.lower);
  put(object, "upper", point.limits.upper);
  put(object, "mean", point.mean);
  put(object, "high_sum", point.high_sum);
  put(object, "low_sum", point.low_sum);
  if (point.spread) {
    put(object, "spread", point.spread);
    put(object, "spread_lower", point.spread_limits.lower);
    put(object, "spread_upper", point.spread_limits.upper);
  }
  return object;
}

std::string signal_sentence(const ChartAnswer& answer, const ChartSignal& signal) {
  const ChartPoint& point = answer.chart.points[signal.index];
  const double value = signal.of_spread ? *point.spread : *point.value;
  const ChartLimits& limits = signal.of_spread ? point.spread_limits : point.limits;
  std::string text = signal.of_spread ? "spread " : "";
  if (signal.rule != RunRule::outside_limits) return text + definition(signal.rule, answer.settings.rules);
  return text + printed(value > limits.upper ? "%.6g is above the upper limit %.6g"
                                             : "%.6g is below the lower limit %.6g",
                        value, value > limits.upper ? limits.upper : limits.lower);
}

std::string spread_name(ChartKind kind) {
  return kind == ChartKind::xbar_r   ? "range"
         : kind == ChartKind::xbar_s ? "standard deviation"
                                     : "moving range";
}

std::string shape_name(ChangeShape shape) {
  return shape == ChangeShape::jump ? "jump" : shape == ChangeShape::drift ? "drift" : "cannot-tell";
}

// In the values' unit; a single point's share is too small to be read.
Estimate per_hundred(const ControlChart& chart, const Estimate& slope_sigmas) {
  const double unit = 100 * point_sigma(chart);
  return {slope_sigmas.value * unit, slope_sigmas.low * unit, slope_sigmas.high * unit};
}

std::string drift_sentence(const ChartAnswer& answer, const Drift& drift) {
  const auto label = [&](std::size_t i) { return answer.labels[i]; };
  const Estimate slope = per_hundred(answer.chart, drift.slope);
  return printed("The level drifts, it did not jump: by %+.3g in a hundred points (%.3g to %.3g), since about ",
                 slope.value, slope.low, slope.high) +
         label(drift.from) + " (" + label(drift.low) + " to " + label(drift.high) +
         printed("; %.4g %% confidence).", 100 * answer.settings.confidence);
}

Json change_json(const ChartAnswer& answer, const ChartChange& change) {
  Json object{{"index", change.at.first},
              {"low_index", change.at.low},
              {"high_index", change.at.high},
              {"label", answer.labels[change.at.first]},
              {"low_label", answer.labels[change.at.low]},
              {"high_label", answer.labels[change.at.high]},
              {"first_signal_index", change.first_signal},
              {"last_signal_index", change.last_signal}};
  put(object, "shift_sigmas", change.at.shift);
  put(object, "confidence", answer.settings.confidence);
  object["shape"] = shape_name(change.shape.shape);
  if (const auto& drift = change.shape.drift) {
    Json& told = object["drift"] = {{"from_index", drift->from},
                                    {"from_low_index", drift->low},
                                    {"from_high_index", drift->high},
                                    {"from_label", answer.labels[drift->from]},
                                    {"from_low_label", answer.labels[drift->low]},
                                    {"from_high_label", answer.labels[drift->high]}};
    put(told, "per_100_points", per_hundred(answer.chart, drift->slope));
  }
  object["text"] = change_sentence(answer, change);
  return object;
}

// Signals of one rule at neighbouring points, printed as one.
struct SignalRun {
  ChartSignal first;
  std::size_t last, count;
};

std::vector<SignalRun> signal_runs(const std::vector<ChartSignal>& signals) {
  std::vector<SignalRun> runs;
  for (const ChartSignal& signal : signals) {
    const auto run = std::find_if(runs.rbegin(), runs.rend(), [&](const SignalRun& one) {
      return one.first.rule == signal.rule && one.first.of_spread == signal.of_spread;
    });
    if (run != runs.rend() && signal.index <= run->last + 5 && signal.rule != RunRule::outside_limits) {
      run->last = signal.index;
      ++run->count;
    } else {
      runs.push_back({signal, signal.index, 1});
    }
  }
  return runs;
}

// The rules of the chart, the limits always among them.
std::vector<RunRule> rules_in_force(const ChartAnswer& answer) {
  const ChartKind kind = answer.chart.kind;
  if (kind == ChartKind::ewma || kind == ChartKind::cusum) return {RunRule::outside_limits};
  return answer.settings.rules.rules;
}

std::string run_length_text(const std::optional<double>& points) {
  return points ? printed("%.4g", *points) : "more than any";
}

bool compares_values(RunRule rule) {
  return rule == RunRule::drift || rule == RunRule::see_saw;
}

}  // namespace

std::vector<std::string> chart_notes(const ChartAnswer& answer) {
  std::vector<std::string> notes = answer.notes;
  const ControlChart& chart = answer.chart;
  const bool counted = chart.kind == ChartKind::p || chart.kind == ChartKind::c;
  if (chart.basis.subgroups_used < 20 && !(answer.settings.target && (answer.settings.sigma || counted)))
    notes.push_back("The limits come from " + std::to_string(chart.basis.subgroups_used) +
                    " points; below some 20 they wander themselves (common practice).");
  std::size_t missing = 0;
  for (const ChartPoint& point : chart.points) missing += !point.value;
  if (missing > 0)
    notes.push_back("Points missing: " + std::to_string(missing) + "; runs go on across them.");
  notes.emplace_back(counted
                         ? "Run lengths: points up to a signal of the limits alone, for the usual size; one "
                           "sigma is that of a point."
                         : "Run lengths: points up to a signal, values independent and normal, limits "
                           "exactly known; one sigma is that of a single value.");
  for (const RunRule rule : rules_in_force(answer))
    if (compares_values(rule) && !counted) {
      notes.emplace_back(
          "Drift and see-saw are not counted into the run lengths: with them it cries wolf more often.");
      break;
    }
  if (!chart.changes.empty())
    notes.emplace_back(
        "In each stretch of signals one jump and one straight drift are compared: several small jumps the same "
        "way look like a drift.");
  return notes;
}

std::string change_sentence(const ChartAnswer& answer, const ChartChange& change) {
  if (change.shape.drift) return drift_sentence(answer, *change.shape.drift);
  const auto label = [&](std::size_t i) { return answer.labels[i]; };
  std::string text = change.at.low == change.at.high
                         ? "The level moved at " + label(change.at.low)
                         : "The level moved between " + label(change.at.low) + " and " +
                               label(change.at.high) + ", most likely at " + label(change.at.first);
  text += printed(", by %+.2f sigma of a point (%.4g %% confidence).", change.at.shift,
                  100 * answer.settings.confidence);
  return change.shape.shape == ChangeShape::jump ? text
                                                 : text + " Whether it jumped or drifts, these points do not tell.";
}

namespace {

Json without_points(const ChartAnswer& answer, const std::vector<InputFile>& inputs) {
  const ControlChart& chart = answer.chart;
  Json object = json_object(inputs);
  object["kind"] = name(chart.kind);
  object["column"] = answer.column;
  object["limits"] = limits_json(chart.limits);
  if (chart.spread_limits) {
    object["spread"] = limits_json(*chart.spread_limits);
    object["spread"]["of"] = spread_name(chart.kind);
  }
  if (chart.basis.sigma > 0) put(object, "sigma", chart.basis.sigma);
  put(object, "usual_size", chart.basis.usual_size);
  object["subgroups_used"] = chart.basis.subgroups_used;
  object["points"] = Json::array();
  object["signals"] = Json::array();
  for (const ChartSignal& signal : chart.signals)
    object["signals"].push_back({{"index", signal.index},
                                 {"label", answer.labels[signal.index]},
                                 {"rule", name(signal.rule)},
                                 {"chart", signal.of_spread ? "spread" : "main"},
                                 {"text", signal_sentence(answer, signal)}});
  object["rules"] = Json::array();
  for (const RunRule rule : rules_in_force(answer))
    object["rules"].push_back({{"rule", name(rule)},
                               {"definition", definition(rule, answer.settings.rules)},
                               {"meaning", meaning(rule)}});
  Json lengths = Json::object();
  put(lengths, "in_control", chart.run_lengths.in_control);
  put(lengths, "one_sigma_shift", chart.run_lengths.one_sigma_shift);
  object["run_length"] = std::move(lengths);
  object["changes"] = Json::array();
  for (const ChartChange& change : chart.changes) object["changes"].push_back(change_json(answer, change));
  object["notes"] = chart_notes(answer);
  return object;
}

}  // namespace

nlohmann::ordered_json chart_json(const ChartAnswer& answer, const std::vector<InputFile>& inputs) {
  Json object = without_points(answer, inputs);
  for (std::size_t i = 0; i < answer.chart.points.size(); ++i)
    object["points"].push_back(point_json(answer.chart.points[i], i, answer.labels[i]));
  return object;
}

std::string chart_json_text(const ChartAnswer& answer, const std::vector<InputFile>& inputs) {
  return json_text(without_points(answer, inputs), "points", answer.chart.points.size(), [&](std::size_t i) {
    return point_json(answer.chart.points[i], i, answer.labels[i]);
  });
}

std::string chart_text(const ChartAnswer& answer) {
  const ControlChart& chart = answer.chart;
  const auto limits = [](const ChartLimits& of) {
    return printed("centre %.6g, lower limit %.6g, upper limit %.6g\n", of.centre, of.lower, of.upper);
  };
  std::string text = std::string(name(chart.kind)) + " chart of " + answer.column + ": " +
                     std::to_string(chart.points.size()) + " points, " +
                     std::to_string(chart.signals.size()) + " signals\n";
  text += "  " + limits(chart.limits);
  if (chart.spread_limits) text += "  " + spread_name(chart.kind) + ": " + limits(*chart.spread_limits);
  text += "  A false alarm every " + run_length_text(chart.run_lengths.in_control) +
          " points on the average; a shift of one sigma is seen after " +
          run_length_text(chart.run_lengths.one_sigma_shift) + ".\n";
  if (!chart.signals.empty()) text += "\nSignals\n";
  constexpr std::size_t most_printed = 40;
  const std::vector<SignalRun> runs = signal_runs(chart.signals);
  for (std::size_t i = 0; i < std::min(runs.size(), most_printed); ++i) {
    const SignalRun& run = runs[i];
    std::string where = answer.labels[run.first.index];
    if (run.count > 1) where += " to " + answer.labels[run.last] + " (" + std::to_string(run.count) + ")";
    text += printed("  %-18s  %-15s  ", where.c_str(), std::string(name(run.first.rule)).c_str()) +
            signal_sentence(answer, run.first) + ": " + std::string(meaning(run.first.rule)) + "\n";
  }
  if (runs.size() > most_printed)
    text += "  and " + std::to_string(runs.size() - most_printed) + " more in the JSON\n";
  if (!chart.changes.empty()) text += "\n";
  for (std::size_t i = 0; i < std::min(chart.changes.size(), most_printed); ++i)
    text += change_sentence(answer, chart.changes[i]) + "\n";
  text += "\nWhat the rules look for\n";
  for (const RunRule rule : rules_in_force(answer))
    text += "  " + std::string(name(rule)) + ": " + definition(rule, answer.settings.rules) + "\n";
  return text + notes_text(chart_notes(answer));
}

}  // namespace boxfettle
