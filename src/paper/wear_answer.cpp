#include "paper/wear_answer.hpp"

#include "paper/json_object.hpp"
#include "paper/notes_text.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;

void put_shots(Json& object, const std::optional<Estimate>& shots) {
  if (!shots) return;
  Json& told = object["shots_to_limit"] = Json::object();
  put(told, "p05", shots->low);
  put(told, "p50", shots->value);
  put(told, "p95", shots->high);
}

std::string_view reason_name(IntervalReason reason) {
  switch (reason) {
    case IntervalReason::wear:
      return "wear";
    case IntervalReason::seen_span:
      return "seen-span";
    case IntervalReason::few_data:
      return "few-data";
    case IntervalReason::due_now:
      return "due-now";
  }
  return "";
}

std::string reason_text(const WearAnswer& answer) {
  const double risk = 100 * answer.asked.risk;
  switch (answer.interval.reason) {
    case IntervalReason::wear:
      return printed("The chance to be past %.3g mm by then is %.3g %%, as accepted.",
                     answer.settings.limit_mm, risk);
    case IntervalReason::seen_span:
      return printed(
          "Wear alone would allow more; it is not trusted further than %.3g times the %.0f shots that "
          "the readings span.",
          answer.asked.ahead_of_seen, answer.wear.seen_shots);
    case IntervalReason::few_data:
      return printed(
          "Readings are few or tell no wear yet: no further ahead than the %.0f shots that they span%s.",
          answer.wear.seen_shots,
          answer.asked.monthly_shots ? printed(", nor than %.0f months", answer.asked.few_months).c_str()
                                     : "");
    case IntervalReason::due_now:
      return printed("The chance to be past %.3g mm already is above %.3g %%: measure before the next run.",
                     answer.settings.limit_mm, risk);
  }
  return "";
}

// The shops' habit beside the figure, and why they differ.
std::string practice_text(const WearAnswer& answer) {
  const std::string habit = printed("Common practice is every %.0f to %.0f months, whatever a box makes",
                                    practice_months_low, practice_months_high);
  if (!answer.interval.months) return habit + "; with --monthly-shots the interval is told in months.";
  const double months = *answer.interval.months;
  const double monthly_mm = answer.wear.rate_mm_per_1000.value * *answer.asked.monthly_shots / 1000;
  const std::string at = printed("; at %.0f shots a month this box wears %.3f mm a month",
                                 *answer.asked.monthly_shots, monthly_mm);
  if (months < practice_months_low) return habit + at + ", so it wants measuring sooner.";
  if (months > practice_months_high)
    return habit + at + ", so it could go longer; keep the habit where a customer asks for it.";
  return habit + at + ": the two agree.";
}

std::string shots_text(const std::optional<Estimate>& shots) {
  if (!shots) return "not told";
  return printed("%.0f (from %.0f to %.0f)", shots->value, shots->low, shots->high);
}

Json patch_json(const PatchWear& patch) {
  Json object{
      {"patch", patch.patch}, {"kind", patch.build_up ? "build-up" : "wear"}, {"readings", patch.readings}};
  put(object, "now_mm", patch.now_mm);
  put(object, "rate_mm_per_1000", patch.rate_mm_per_1000);
  put_shots(object, patch.shots_to_limit);
  if (!patch.set_back_at_shots.empty()) object["set_back_at_shots"] = patch.set_back_at_shots;
  return object;
}

}  // namespace

std::vector<std::string> wear_notes(const WearAnswer& answer) {
  std::vector<std::string> notes = answer.notes;
  const Wear& wear = answer.wear;
  notes.push_back(printed("Shots to the limit count from the last reading, at %.0f shots.", wear.now_shots));
  if (!wear.told) notes.emplace_back("Wear cannot be told from none at this confidence: the rate may be 0.");
  if (!wear.shots_to_limit)
    notes.emplace_back(
        "Shots to the limit are not told: too much of what the readings allow never gets there.");
  if (wear.noise_ratio > 1.5)
    notes.push_back(
        printed("Readings scatter %.1f times as much as their uncertainty says; the intervals go by the "
                "scatter.",
                wear.noise_ratio));
  for (const PatchWear& patch : wear.patches)
    for (const double shots : patch.set_back_at_shots)
      notes.push_back(
          printed("%s was set back before the reading at %.0f shots (a repair or renewal): the line "
                  "starts anew there.",
                  patch.patch.c_str(), shots));
  if (wear.patches.size() > 1)
    notes.emplace_back(
        "The shots are those of the first patch to reach the limit; where several are alike it is "
        "forecast early rather than late.");
  notes.emplace_back("Wear is taken to go on as it did: same sand, same pressure, same cleaning.");
  return notes;
}

nlohmann::ordered_json wear_json(const WearAnswer& answer, const std::vector<InputFile>& inputs) {
  const Wear& wear = answer.wear;
  Json object = json_object(inputs);
  put(object, "limit_mm", answer.settings.limit_mm);
  put(object, "confidence", answer.settings.confidence);
  put(object, "now_shots", wear.now_shots);
  put(object, "rate_mm_per_1000", wear.rate_mm_per_1000);
  put(object, "rate_sd_mm_per_1000", wear.rate_sd_mm_per_1000);
  object["wear_told"] = wear.told;
  put(object, "noise_mm", wear.noise_mm);
  put_shots(object, wear.shots_to_limit);
  object["worst_patch"] = wear.worst_patch;
  put(object, "risk", answer.asked.risk);
  put(object, "measure_every_shots", answer.interval.shots);
  put(object, "measure_every_months", answer.interval.months);
  object["measure_reason"] = {{"rule", reason_name(answer.interval.reason)}, {"text", reason_text(answer)}};
  object["common_practice_months"] = {practice_months_low, practice_months_high};
  object["common_practice_text"] = practice_text(answer);
  object["patches"] = Json::array();
  for (const PatchWear& patch : wear.patches) object["patches"].push_back(patch_json(patch));
  object["notes"] = wear_notes(answer);
  return object;
}

std::string wear_text(const WearAnswer& answer) {
  const Wear& wear = answer.wear;
  const Estimate& rate = wear.rate_mm_per_1000;
  std::string text = printed("Wear %.4f mm per 1,000 shots (from %.4f to %.4f at %.4g %% confidence)\n",
                             rate.value, rate.low, rate.high, 100 * answer.settings.confidence);
  text += printed("  Shots until the first place reaches %.3g mm: ", answer.settings.limit_mm) +
          shots_text(wear.shots_to_limit) + "\n";
  text += printed("  Measure every %.0f shots", answer.interval.shots);
  if (answer.interval.months) text += printed(" = %.1f months", *answer.interval.months);
  text += "\n  " + reason_text(answer) + "\n  " + practice_text(answer) + "\n\n";
  text += "  patch          now mm   mm per 1,000 shots        shots to the limit\n";
  for (const PatchWear& patch : wear.patches)
    text += printed("  %-12s %8.3f   %.4f (%.4f to %.4f)  ", patch.patch.c_str(), patch.now_mm,
                    patch.rate_mm_per_1000.value, patch.rate_mm_per_1000.low, patch.rate_mm_per_1000.high) +
            shots_text(patch.shots_to_limit) + (patch.build_up ? "  build-up" : "") + "\n";
  return text + notes_text(wear_notes(answer));
}

}  // namespace boxfettle
