#include "paper/capability_answer.hpp"

#include "paper/json_object.hpp"
#include "paper/notes_text.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;

constexpr double normal_enough = 0.05;  // p value below which values are not called normal (common practice)
constexpr std::size_t few_values = 50;

std::string index_line(const char* index, const std::optional<Estimate>& told) {
  if (!told) return printed("  %-4s needs both limits\n", index);
  return printed("  %-4s %6.3f   from %.3f to %.3f\n", index, told->value, told->low, told->high);
}

}  // namespace

std::vector<std::string> capability_notes(const CapabilityAnswer& answer) {
  std::vector<std::string> notes = answer.notes;
  const Capability& told = answer.capability;
  if (!told.cp) notes.emplace_back("One limit only: Cp and Pp, which need both, are left out.");
  if (told.count < few_values)
    notes.push_back(std::to_string(told.count) +
                    " values tell an index roughly only: judge by the low end of its interval.");
  if (!told.normality)
    notes.emplace_back("Fewer than 8 values: whether they are normal cannot be told.");
  else if (told.normality->p_value < normal_enough)
    notes.emplace_back(
        told.percentiles
            ? "The values do not look normal: go by the indices from percentiles."
            : "The values do not look normal, so the indices mislead; from " +
                  std::to_string(fewest_for_percentiles(answer.settings.confidence)) +
                  " values on they are told from percentiles. Until then count what is outside.");
  notes.emplace_back("An index is of a process that stays as it was: look at its chart first.");
  return notes;
}

nlohmann::ordered_json capability_json(const CapabilityAnswer& answer, const std::vector<InputFile>& inputs) {
  const Capability& told = answer.capability;
  Json object = json_object(inputs);
  object["column"] = answer.column;
  put(object, "lower_limit", answer.band.lower);
  put(object, "upper_limit", answer.band.upper);
  put(object, "confidence", answer.settings.confidence);
  put(object, "cp", told.cp);
  put(object, "cpk", told.cpk);
  put(object, "pp", told.pp);
  put(object, "ppk", told.ppk);
  object["count"] = told.count;
  put(object, "mean", told.mean);
  put(object, "sd", told.sd);
  put(object, "sd_within", told.sd_within);
  put(object, "sd_within_degrees", told.within_degrees);
  if (told.normality) {
    Json& normality = object["normality"] = Json::object();
    put(normality, "a_squared", told.normality->a_squared);
    put(normality, "p_value", told.normality->p_value);
    normality["looks_normal"] = told.normality->p_value >= normal_enough;
  }
  if (told.percentiles) {
    Json& percentiles = object["percentiles"] = Json::object();
    put(percentiles, "p00135", told.percentiles->p00135);
    put(percentiles, "p50", told.percentiles->p50);
    put(percentiles, "p99865", told.percentiles->p99865);
    put(percentiles, "pp", told.percentiles->pp);
    put(percentiles, "ppk", told.percentiles->ppk);
  }
  object["outside"] = told.outside;
  put(object, "outside_fraction", told.outside_fraction);
  put(object, "expected_outside_fraction", told.expected_outside);
  object["notes"] = capability_notes(answer);
  return object;
}

std::string capability_text(const CapabilityAnswer& answer) {
  const Capability& told = answer.capability;
  std::string text =
      printed("Capability of %s: %zu values, mean %.6g, standard deviation %.5g (within subgroups %.5g)\n",
              answer.column.c_str(), told.count, told.mean, told.sd, told.sd_within);
  text += printed("  intervals at %.4g %% confidence\n", 100 * answer.settings.confidence);
  text += index_line("Cp", told.cp) + index_line("Cpk", told.cpk) + index_line("Pp", told.pp) +
          index_line("Ppk", told.ppk);
  text += printed(
      "  outside the limits: %zu of %zu, so from %.3g to %.3g %% of all; a normal would have %.3g %%\n",
      told.outside, told.count, 100 * told.outside_fraction.low, 100 * told.outside_fraction.high,
      100 * told.expected_outside);
  if (told.normality)
    text += printed("  normal? Anderson-Darling A2 %.4f, p %.3g: %s\n", told.normality->a_squared,
                    told.normality->p_value,
                    told.normality->p_value >= normal_enough ? "nothing speaks against it" : "no");
  if (told.percentiles)
    text +=
        printed("  by percentiles (0.135 %% %.6g, middle %.6g, 99.865 %% %.6g): Ppk %.3f from %.3f to %.3f\n",
                told.percentiles->p00135, told.percentiles->p50, told.percentiles->p99865,
                told.percentiles->ppk.value, told.percentiles->ppk.low, told.percentiles->ppk.high);
  return text + notes_text(capability_notes(answer));
}

}  // namespace boxfettle
