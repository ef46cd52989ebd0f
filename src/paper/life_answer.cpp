#include "paper/life_answer.hpp"

#include <algorithm>

#include "paper/figure.hpp"
#include "paper/json_object.hpp"
#include "paper/notes_text.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;

Json estimate_json(const LifeEstimate& estimate) {
  Json object;
  put(object, "value", estimate.value);
  put(object, "low", estimate.low);
  put(object, "high", estimate.high);
  return object;
}

std::string interval_text(const LifeEstimate& estimate) {
  const auto end = [](const std::optional<double>& at) { return at ? figure(*at) : std::string("no bound"); };
  return figure(estimate.value) + " (from " + end(estimate.low) + " to " + end(estimate.high) + ")";
}

bool no_age(const ToldLife& told) {
  return told.renewal && !told.renewal->age;
}

std::string renewal_text(const ToldLife& told) {
  if (!no_age(told))
    return "Renew at " + figure(*told.renewal->age) +
           printed(": %.0f %% cheaper than running to failure.", 100 * told.renewal->saving());
  if (told.life.shape <= 1)
    return printed(
        "Do not renew by age: with a shape of %.2f a part that has lasted is as good as a new one.",
        told.life.shape);
  return "Do not renew by age: a failure costs too little more than a planned renewal.";
}

std::string meaning_of_shape(const ToldLife& told) {
  const auto& shape = told.shape;
  if (shape.low && *shape.low > 1) return "they wear out: the older, the sooner they fail";
  if (shape.high && *shape.high < 1)
    return "early failures: whoever lasts, lasts longer (look at fitting and material)";
  return "wearing out cannot be told from failing at random";
}

Json group_json(const LifeGroup& group, const std::optional<WeibullLife>& life) {
  Json object{{"group", group.name},
              {"records", group.records.size()},
              {"failures", std::ranges::count_if(group.records, &LifeRecord::failed)}};
  if (!life) return object;
  put(object, "shape", life->shape);
  put(object, "scale", life->scale);
  put(object, "b10", life->quantile(0.1));
  return object;
}

}  // namespace

std::vector<std::string> life_notes(const LifeAnswer& answer) {
  std::vector<std::string> notes = answer.notes;
  const auto failures = static_cast<std::size_t>(std::ranges::count_if(answer.records, &LifeRecord::failed));
  if (!answer.told && failures == 0)
    notes.emplace_back(
        "None failed, so no life can be fitted; that they all still hold bounds it from below (for "
        "failures at random, shape 1).");
  if (!answer.told && failures > 0)
    notes.emplace_back(
        "All failures stand at one time and nothing lasted longer: any steepness fits, so no shape is "
        "told. Give more records, or when each was last seen sound.");
  if (!answer.told) return notes;
  if (failures < few_failures)
    notes.push_back(printed("%zu failures are few: the shape is read too large on the average", failures) +
                    (answer.told->life.unbiased_shape()
                         ? printed(" (%.2f when that is taken off, after Ross, for lives without censoring).",
                                   *answer.told->life.unbiased_shape())
                         : std::string(".")));
  if (!answer.told->shape.high || !answer.told->shape.low)
    notes.emplace_back("An interval has no bound on one side: the data set none.");
  if (answer.told->renewal && answer.told->renewal->age && answer.told->shape.low.value_or(0) <= 1)
    notes.emplace_back(
        "The shape may be 1 or less; then renewing by age saves nothing. Gather more failures first.");
  notes.emplace_back(
      "A handle, clamp or lifting part is renewed on any doubt, whatever this says: local rules and the "
      "competent person decide.");
  return notes;
}

nlohmann::ordered_json life_json(const LifeAnswer& answer, const std::vector<InputFile>& inputs) {
  Json object = json_object(inputs);
  object["column"] = answer.column;
  put(object, "confidence", answer.confidence);
  object["records"] = answer.records.size();
  object["failures"] = std::ranges::count_if(answer.records, &LifeRecord::failed);
  object["told"] = answer.told.has_value();
  put(object, "b10_at_least", answer.b10_at_least);
  if (answer.told) {
    const ToldLife& told = *answer.told;
    object["shape"] = estimate_json(told.shape);
    object["scale"] = estimate_json(told.scale);
    put(object, "b10", told.b10.value);
    object["b10_interval"] = estimate_json(told.b10);
    object["b10_interval"].erase("value");
    put(object, "mean_life", told.life.mean());
    put(object, "shape_unbiased", told.life.unbiased_shape());
    put(object, "log_likelihood", told.life.log_likelihood);
    object["shape_text"] = meaning_of_shape(told);
    if (told.renewal) {
      object["renew_at"] = nullptr;
      put(object, "renew_at", told.renewal->age);
      put(object, "saving_fraction", told.renewal->saving());
      put(object, "cost_per_time", told.renewal->cost_per_time);
      put(object, "cost_per_time_run_to_failure", told.renewal->cost_run_to_failure);
      object["renew_text"] = renewal_text(told);
    }
  }
  if (answer.comparison) {
    object["groups"] = Json::array();
    for (std::size_t i = 0; i < answer.groups.size(); ++i)
      object["groups"].push_back(group_json(answer.groups[i], answer.comparison->groups[i]));
    put(object, "groups_alike_p", answer.comparison->p_value);
  }
  object["notes"] = life_notes(answer);
  return object;
}

std::string life_text(const LifeAnswer& answer) {
  const auto failures = std::ranges::count_if(answer.records, &LifeRecord::failed);
  std::string text = printed("Life in %s: %zu records, %td failures\n", answer.column.c_str(),
                             answer.records.size(), failures);
  if (answer.b10_at_least)
    text += "  At least 90 % last " + figure(*answer.b10_at_least) +
            printed(" (%.4g %% confidence).\n", 100 * answer.confidence);
  if (answer.told) {
    const ToldLife& told = *answer.told;
    text += printed("  intervals at %.4g %% confidence\n", 100 * answer.confidence);
    text += "  shape  " + interval_text(told.shape) + ": " + meaning_of_shape(told) + "\n";
    text += "  scale  " + interval_text(told.scale) + ": 63 % have failed by then\n";
    text += "  B10    " + interval_text(told.b10) + ": 10 % have failed by then\n";
    if (told.renewal) text += "  " + renewal_text(told) + "\n";
  }
  if (answer.comparison) {
    text += "\n  group            records  failures   shape    scale      B10\n";
    for (std::size_t i = 0; i < answer.groups.size(); ++i) {
      const LifeGroup& group = answer.groups[i];
      const auto& life = answer.comparison->groups[i];
      text += printed("  %-16s %7zu  %8td   ", group.name.c_str(), group.records.size(),
                      std::ranges::count_if(group.records, &LifeRecord::failed));
      text += life ? printed("%5.2f  %8s %8s\n", life->shape, figure(life->scale).c_str(),
                             figure(life->quantile(0.1)).c_str())
                   : "not told\n";
    }
    if (answer.comparison->p_value)
      text +=
          printed("  %s (p %.3g).\n",
                  *answer.comparison->p_value < 1 - answer.confidence ? "The groups live differently"
                                                                      : "The groups may live equally long",
                  *answer.comparison->p_value);
  }
  return text + notes_text(life_notes(answer));
}

}  // namespace boxfettle
