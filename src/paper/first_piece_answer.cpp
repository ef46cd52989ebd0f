#include "paper/first_piece_answer.hpp"

#include "paper/json_object.hpp"
#include "paper/notes_text.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;

Json plan_json(const PlanAnswer& answer) {
  Json object{{"stages", Json::array()}, {"outcomes", Json::array()}};
  std::size_t checked = 0;
  for (const PlanStage& stage : answer.plan) {
    checked += stage.checked;
    Json one{{"checked_in_all", checked}};
    if (stage.accept) one["accept"] = *stage.accept;
    one["reject"] = stage.reject;
    object["stages"].push_back(std::move(one));
  }
  for (const PlanAnswer::At& at : answer.outcomes) {
    Json one;
    put(one, "bad_fraction", at.bad);
    put(one, "accepted", at.outcome.accepted);
    put(one, "pieces_checked", at.outcome.pieces_checked);
    object["outcomes"].push_back(std::move(one));
  }
  return object;
}

// A sequential plan changes its numbers seldom: only where it does is a line printed.
std::string stages_text(const StagedPlan& plan) {
  std::string text = "  checked in all   go on making at or below   stop at or above\n";
  std::size_t checked = 0;
  const PlanStage* before = nullptr;
  for (const PlanStage& stage : plan) {
    checked += stage.checked;
    const bool same = before && before->accept == stage.accept && before->reject == stage.reject;
    before = &stage;
    if (same) continue;
    text += printed("  %14zu   %-25s %zu bad\n", checked,
                    stage.accept ? (std::to_string(*stage.accept) + " bad").c_str() : "-", stage.reject);
  }
  return text;
}

std::string plan_text(const PlanAnswer& answer) {
  std::string text = answer.goals ? "\nA plan that stops as early as it can\n" : "\nThe plan\n";
  text += stages_text(answer.plan);
  text += "  if so many are bad   it is accepted   pieces checked on the average\n";
  for (const PlanAnswer::At& at : answer.outcomes)
    text += printed("  %14.4g %%   %12.1f %%   %.1f\n", 100 * at.bad, 100 * at.outcome.accepted,
                    at.outcome.pieces_checked);
  return text;
}

}  // namespace

nlohmann::ordered_json first_piece_json(const FirstPieceAnswer& answer,
                                        const std::vector<InputFile>& inputs) {
  Json object = json_object(inputs);
  put(object, "confidence", answer.confidence);
  if (answer.pieces) {
    object["checked"] = answer.pieces->checked;
    object["bad"] = answer.pieces->bad;
    put(object, "bad_fraction", answer.pieces->bad_fraction);
    put(object["bad_fraction"], "at_most", answer.pieces->at_most);
  }
  Json& needed = object["needed_for"] = Json::object();
  for (const ClaimNeeds& one : answer.needs) needed[printed("%.4g_percent", 100 * one.fraction)] = one.pieces;
  if (answer.measured) {
    const MeasuredPieces& told = *answer.measured;
    Json& limits = object["tolerance_limits"] = {{"column", told.column}, {"count", told.count}};
    put(limits, "mean", told.mean);
    put(limits, "sd", told.sd);
    put(limits, "share", told.share);
    put(limits, "factor_two_sided", told.factors.two_sided);
    put(limits, "factor_one_sided", told.factors.one_sided);
    put(limits, "low", told.mean - told.factors.two_sided * told.sd);
    put(limits, "high", told.mean + told.factors.two_sided * told.sd);
    put(limits, "at_least", told.mean - told.factors.one_sided * told.sd);
    put(limits, "at_most", told.mean + told.factors.one_sided * told.sd);
  }
  if (answer.plan) object["plan"] = plan_json(*answer.plan);
  object["notes"] = answer.notes;
  return object;
}

std::string first_piece_text(const FirstPieceAnswer& answer) {
  std::string text;
  const double percent = 100 * answer.confidence;
  if (answer.pieces) {
    const CheckedPieces& told = *answer.pieces;
    text +=
        printed("%zu bad of %zu checked: up to %.3g %% of the run may still be bad (%.4g %% confidence)\n",
                told.bad, told.checked, 100 * told.at_most, percent);
    text += printed("  two-sided: from %.3g to %.3g %%\n", 100 * told.bad_fraction.low,
                    100 * told.bad_fraction.high);
  }
  if (answer.measured) {
    const MeasuredPieces& told = *answer.measured;
    const double both = told.factors.two_sided * told.sd, one = told.factors.one_sided * told.sd;
    text += printed("%zu measured (%s): mean %.6g, standard deviation %.4g\n", told.count,
                    told.column.c_str(), told.mean, told.sd);
    text += printed("  %.4g %% of all lie between %.6g and %.6g (%.4g %% confidence)\n", 100 * told.share,
                    told.mean - both, told.mean + both, percent);
    text +=
        printed("  or, asked from one side, above %.6g; or below %.6g\n", told.mean - one, told.mean + one);
  }
  text += "Pieces needed with none bad, to claim\n";
  for (const ClaimNeeds& one : answer.needs)
    text += printed("  no more than %4.4g %% bad   %zu\n", 100 * one.fraction, one.pieces);
  if (answer.plan) text += plan_text(*answer.plan);
  return text + notes_text(answer.notes);
}

}  // namespace boxfettle
