#include "paper/gauge_answer.hpp"

#include <cmath>

#include "paper/json_object.hpp"
#include "paper/notes_text.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;

// Common practice: below 10 % good, to 30 % usable for some jobs, beyond not; at least 5 kinds of part.
std::string_view judged(double grr_percent) {
  return grr_percent < 10   ? "good"
         : grr_percent < 30 ? "usable where little depends on it"
                            : "too coarse to judge these parts";
}

Json line_json(const char* source, const AnovaLine& line) {
  Json object{{"source", source}};
  put(object, "squares", line.squares);
  put(object, "degrees", line.degrees);
  put(object, "mean_square", line.mean_square());
  return object;
}

void put_interval(Json& object, const char* key, const Estimate& estimate) {
  Json interval;
  put(interval, "low", estimate.low);
  put(interval, "high", estimate.high);
  object[key] = std::move(interval);
}

std::string sd_line(const char* what, const Estimate& variance, double total) {
  return printed("  %-17s sd %-10.5g (from %.4g to %.4g)   %5.1f %% of the total\n", what,
                 std::sqrt(variance.value), std::sqrt(variance.low), std::sqrt(variance.high),
                 100 * std::sqrt(variance.value / total));
}

}  // namespace

std::vector<std::string> gauge_notes(const GaugeAnswer& answer) {
  std::vector<std::string> notes = answer.notes;
  const GaugeStudy& study = answer.study;
  if (study.pooled)
    notes.push_back(
        printed("People and parts do not interact beyond chance (p %.2f, above %.2f): pooled into "
                "repeatability.",
                *study.interaction_p, answer.settings.pool_above));
  else if (study.interaction_p)
    notes.push_back(printed("People and parts interact (p %.3f): somebody measures some parts differently.",
                            *study.interaction_p));
  if (study.anova.people < 2)
    notes.emplace_back("One person only: what people add cannot be told and counts as nothing.");
  if (study.clipped)
    notes.emplace_back(
        "A variance came out negative and is taken as 0: it is small beside the scatter of repeats.");
  if (study.anova.people == 2 || study.anova.people == 3)
    notes.emplace_back("Two or three people tell little about what people add: its interval is wide.");
  notes.emplace_back(
      "The percentage is of these parts: take some that differ as much as the cores made (common "
      "practice: 10 % good, 30 % the most, 5 kinds the fewest).");
  return notes;
}

nlohmann::ordered_json gauge_json(const GaugeAnswer& answer, const std::vector<InputFile>& inputs) {
  const GaugeStudy& study = answer.study;
  Json object = json_object(inputs);
  object["column"] = answer.column;
  object["parts"] = study.anova.parts;
  object["operators"] = study.anova.people;
  object["repeats"] = study.anova.repeats;
  put(object, "confidence", answer.settings.confidence);
  object["anova"] = {line_json("part", study.anova.part), line_json("operator", study.anova.person),
                     line_json("interaction", study.anova.interaction),
                     line_json("repeat", study.anova.repeat)};
  put(object, "interaction_p", study.interaction_p);
  object["interaction_pooled"] = study.pooled;
  Json& variance = object["variance"] = Json::object();
  put(variance, "repeatability", study.repeatability);
  put(variance, "reproducibility", study.reproducibility);
  put(variance, "operator", study.people);
  put(variance, "interaction", study.interaction);
  put(variance, "gauge", study.gauge);
  put(variance, "part", study.parts);
  put(variance, "total", study.total);
  put(object, "grr_percent", study.grr_percent.value);
  put_interval(object, "grr_percent_interval", study.grr_percent);
  put(object, "part_percent", study.part_percent.value);
  object["ndc"] = study.ndc;
  put(object, "ndc_ratio", study.ndc_ratio);
  if (study.tolerance_percent) {
    put(object, "tolerance_percent", study.tolerance_percent->value);
    put_interval(object, "tolerance_percent_interval", *study.tolerance_percent);
  }
  object["notes"] = gauge_notes(answer);
  return object;
}

std::string gauge_text(const GaugeAnswer& answer) {
  const GaugeStudy& study = answer.study;
  std::string text = printed("Gauge study of %s: %zu parts, %zu people, %zu repeats\n", answer.column.c_str(),
                             study.anova.parts, study.anova.people, study.anova.repeats);
  text += printed("  The gauge is %.1f %% of the total scatter (from %.1f to %.1f): %s\n",
                  study.grr_percent.value, study.grr_percent.low, study.grr_percent.high,
                  std::string(judged(study.grr_percent.value)).c_str());
  text += printed("  It tells %d kinds of part apart.\n", study.ndc);
  if (study.tolerance_percent)
    text +=
        printed("  6 sd of the gauge take %.1f %% of the tolerance (from %.1f to %.1f).\n",
                study.tolerance_percent->value, study.tolerance_percent->low, study.tolerance_percent->high);
  text += "\n" + sd_line("repeatability", study.repeatability, study.total.value) +
          sd_line("people", study.reproducibility, study.total.value) +
          sd_line("gauge, both", study.gauge, study.total.value) +
          sd_line("parts", study.parts, study.total.value);
  return text + notes_text(gauge_notes(answer));
}

}  // namespace boxfettle
