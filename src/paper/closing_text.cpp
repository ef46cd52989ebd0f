#include "paper/closing_text.hpp"

#include <cctype>
#include <cmath>
#include <numbers>
#include <utility>

#include "reading/printed.hpp"

namespace boxfettle {
namespace {

constexpr double degrees = 180 / std::numbers::pi;

std::string verdict_line(ClosingVerdict verdict) {
  std::string text = "Verdict: ";
  for (const char c : name(verdict)) text += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return text + "\n\n";
}

// Sentences under a title, a blank line before it; nothing when there are none.
std::string with_list(std::string text, const char* title, const std::vector<std::string>& sentences) {
  if (sentences.empty()) return text;
  if (!text.ends_with("\n\n")) text += "\n";
  text += std::string(title) + "\n";
  for (const std::string& sentence : sentences) text += "  - " + sentence + "\n";
  return text;
}

std::string play_text(const DowelPlay& play) {
  return printed_line("  play       x %+.3f to %+.3f, y %+.3f to %+.3f mm, turn %+.4f to %+.4f degrees",
                      play.x_mm().low, play.x_mm().high, play.y_mm().low, play.y_mm().high,
                      play.angle_rad().low * degrees, play.angle_rad().high * degrees);
}

std::string likely_text(const char* how, const LikelyShift& likely) {
  return printed_line("  %s half of all closings within %.3f mm, 95 of 100 within %.3f, 99 within %.3f", how,
                      likely.p50_mm, likely.p95_mm, likely.p99_mm);
}

std::string clamps_text(const Clamping& clamping) {
  if (clamping.clamps.empty()) return "Clamps\n  none in the box file\n";
  std::string text = "Clamps\n";
  if (clamping.opening_N > 0)
    text += printed_line(
        "  hold %.0f N (as little as %.0f) against an opening force of %.0f N: margin %.2f (%.2f)",
        clamping.force_N, clamping.low_N, clamping.opening_N, clamping.margin, clamping.margin_low);
  else
    text += printed_line("  hold %.0f N (as little as %.0f)", clamping.force_N, clamping.low_N);
  for (const ClampForce& clamp : clamping.clamps) {
    text += printed("  %s  %.0f N", clamp.id.substr(0, 60).c_str(), clamp.force_N);
    if (clamp.proof_share) text += printed(" (%.0f %% of its proof load)", 100 * *clamp.proof_share);
    if (clamping.load_shared)
      text += printed(", carries %.0f N (%.0f %%)", clamp.load_N, 100 * clamp.load_N / clamping.opening_N);
    text += "\n";
  }
  if (clamping.slack_first)
    text += "  " + clamping.clamps[*clamping.slack_first].id.substr(0, 60) + " goes slack first\n";
  return text;
}

std::string growth_text(const PartingGap& gap) {
  if (!gap.growth) return "";
  const Growth& g = *gap.growth;
  std::string text = "Opening of the parting face, clamped\n";
  text += printed_line("  largest    %.3f mm, give or take %.3f, at x %.0f, y %.0f mm", g.max_mm, g.u95_mm,
                       g.at_parting_mm.x(), g.at_parting_mm.y());
  text += printed_line("  mean       %.3f mm, give or take %.3f", g.mean_mm, g.mean_u95_mm);
  if (gap.clamped->told()) {
    const GapField& field = *gap.clamped;
    text += printed_line(
        "  plane      %.3f mm at the face's origin, tilt about x %+.4f, about y %+.4f degrees",
        field.offset_mm(), degrees * std::atan(field.slope().y()), -degrees * std::atan(field.slope().x()));
    if (field.warped()) text += printed_line("  warp       %.3f mm off the plane", field.warp_mm());
  }
  if (gap.added)
    text += printed_line("  adds       %.2f cm3, %.1f g (%.2f %% of %.0f g)", gap.added->volume_cm3,
                         gap.added->weight_g, gap.added->percent, gap.added->core_weight_g);
  if (gap.leak) {
    text += printed("  leaks      through %.1f mm2", gap.leak->area_mm2);
    if (gap.leak->share_of_vents)
      text += printed(", up to %.0f %% of what the vents pass", 100 * *gap.leak->share_of_vents);
    text += "\n";
  }
  return text;
}

}  // namespace

std::string dowel_check_text(const DowelCheck& check, const CoreBox& box) {
  std::string text = verdict_line(check.verdict);
  if (check.worst) {
    text += "Upper half against the lower, by pins and bushes\n";
    text += printed_line("  worst      %.3f mm at x %.1f, y %.1f mm; limit %.2f", check.worst->mm,
                         check.worst->at_parting_mm.x(), check.worst->at_parting_mm.y(), check.limit_mm);
    text += play_text(check.play);
    text += likely_text("likely    ", *check.likely);
    text += likely_text("pushed    ", *check.likely_pushed);
    for (const WatchedShift& point : check.watched)
      text += printed_line("  at %s  %.3f mm at worst", point.id.substr(0, 60).c_str(), point.worst.mm);
    text += "Dowels\n";
    for (const WearEffect& effect : check.wear)
      text += printed_line(
          "  %s  clearance %.3f mm; another 0.05 mm off this pin alone adds %.3f mm to the worst",
          effect.id.substr(0, 60).c_str(), effect.clearance_mm, effect.worst_rise_mm);
  }
  if (check.pitch)
    text += printed_line(
        "  warm       the halves' pitches differ by %.3f mm; the play takes up %.3f, %.3f mm binds",
        check.pitch->pitch_difference_mm, check.pitch->play_mm, check.pitch->bind_mm);
  const Eigen::Vector3d &x = box.parting.x_axis, &y = box.parting.y_axis;
  std::vector<std::string> notes = check.notes;
  notes.push_back(printed(
      "Places are along the parting face's own axes: x is (%g, %g, %g) and y (%g, %g, %g) of the design.",
      x.x(), x.y(), x.z(), y.x(), y.y(), y.z()));
  text = with_list(std::move(text), "What to do", check.advice);
  text = with_list(std::move(text), "Take care", closing_cautions());
  return with_list(std::move(text), "Notes", notes);
}

std::string fit_text(const FitResult& result, const Fit& fit) {
  std::string text = printed_line("%g mm %s: %s", result.size_mm, fit.text().c_str(),
                                  std::string(name(result.kind)).c_str());
  text += printed_line("  hole  %s  %+g to %+g um", fit.hole.text().c_str(), result.hole.lower_um,
                       result.hole.upper_um);
  text += printed_line("  shaft %s  %+g to %+g um", fit.shaft.text().c_str(), result.shaft.lower_um,
                       result.shaft.upper_um);
  text += printed_line("  clearance at 20 degC  %+g to %+g um (minus is interference)", result.least_um,
                       result.most_um);
  if (result.growth_um != 0)
    text += printed_line("  at the temperatures given  %+.1f to %+.1f um (%+.1f)", result.warm_least_um,
                         result.warm_most_um, result.growth_um);
  return text + "  ISO 286-1:2010; see docs/how/fits.md for where the values were found\n";
}

std::string parting_gap_text(const PartingGap& gap, const CoreBox&) {
  std::string text = verdict_line(gap.verdict) + growth_text(gap) + clamps_text(gap.clamps);
  std::vector<std::string> causes;
  for (const RankedCause& cause : gap.causes)
    causes.push_back(printed("(%.0f %%) ", 100 * cause.weight) + cause.text);
  text = with_list(std::move(text), "Likely causes, the likeliest first", causes);
  text = with_list(std::move(text), "What it means", gap.advice);
  text = with_list(std::move(text), "Take care", closing_cautions());
  return with_list(std::move(text), "Notes", gap.notes);
}

std::string weights_text(const WeightsBesideFeelers& both) {
  const WeightWitness& w = both.weights;
  std::string text = "\nWeighed cores\n";
  text += printed_line(
      "  %d cores, mean %.1f g, %+.1f g off %.1f (give or take %.1f): an opening of %.3f mm, give or take "
      "%.3f",
      w.cores, w.mean_g, w.excess_g, both.right_weight_g, w.excess_u95_g, w.opening_mm, w.opening_u95_mm);
  if (both.compared) text += "  " + both.compared->suggestion + "\n";
  return text;
}

}  // namespace boxfettle
