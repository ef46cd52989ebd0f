#include "paper/venting_text.hpp"

#include <algorithm>
#include <cctype>
#include <map>

#include "paper/venting_words.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

double gauge_bar(double pressure_pa) {
  return (pressure_pa - standard_atmosphere_pa) / 1e5;
}

std::string head(VentingVerdict verdict, const std::vector<std::string>& reasons) {
  std::string text = "Verdict: ";
  for (const char c : name(verdict)) text += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  text += "\n";
  for (const std::string& reason : reasons) text += "  - " + reason + "\n";
  return text + "\n";
}

std::string listed(const char* title, const std::vector<std::string>& sentences) {
  if (sentences.empty()) return "";
  std::string text = std::string("\n") + title + "\n";
  for (const std::string& sentence : sentences) text += "  - " + sentence + "\n";
  return text;
}

std::string fill_line(const char* what, const BlowRun& run) {
  if (!run.fills)
    return printed_line("  %-22s does not fill: %.0f %% after %.0f s", what, 100 * run.filled_share,
                        run.fill_time_s);
  return printed_line("  %-22s full in %.3f s, at most %.3f bar in the cavity%s", what, run.fill_time_s,
                      gauge_bar(run.peak_cavity_pa), run.choked ? ", vents choke" : "");
}

std::string restore_text(const BlowStudy& study) {
  std::string text;
  if (study.restoring_blow_bar)
    text +=
        printed_line("  %.2f bar of blow pressure would fill as fast as designed", *study.restoring_blow_bar);
  if (study.restoring_vent_factor)
    text += printed_line("  so would %.2f times the open vent area as found", *study.restoring_vent_factor);
  return text.empty() ? text : "\nWhat brings the design back\n" + text;
}

// Where the cleaning intervals come from: said once for all vents it holds for.
std::string cleaning_lines(const std::vector<VentStanding>& vents) {
  std::map<std::string, std::string> vents_of;
  for (const VentStanding& vent : vents) {
    std::string& list = vents_of[vent.cleaning_origin];
    list += (list.empty() ? "" : ", ") + vent.id.substr(0, 60);
  }
  std::string text;
  for (const auto& [origin, list] : vents_of) text += "  cleaning of " + list + ": " + origin + "\n";
  return text;
}

std::string vent_lines(const VentingStudy& study) {
  std::string text = "\nVents, the one that matters most first\n";
  std::vector<VentStanding> vents = study.vents;
  std::stable_sort(vents.begin(), vents.end(), [](const VentStanding& a, const VentStanding& b) {
    return a.sensitivity > b.sensitivity;
  });
  for (const VentStanding& vent : vents) {
    text += printed("  %-6s %5.1f %% of the gas; a tenth more plugged delays the worst place by %+.1f %%; ",
                    vent.id.substr(0, 60).c_str(), 100 * vent.share, 10 * vent.sensitivity);
    text += vent.plug_limit >= 1
                ? printed("may plug altogether")
                : printed("plugged %.0f %%, limit %.0f %%", 100 * vent.plugged, 100 * vent.plug_limit);
    text += printed_line("; clean every %.0f min, counted from clean", vent.clean_every_min);
  }
  return text + cleaning_lines(vents);
}

// The order in which the rising front of sand takes the vents from the air.
std::string drowning_lines(std::vector<VentStanding> vents) {
  if (vents.empty()) return "";
  std::stable_sort(vents.begin(), vents.end(), [](const VentStanding& a, const VentStanding& b) {
    return a.drowns_at_fill < b.drowns_at_fill;
  });
  std::string text =
      "\nThe front of sand reaches the vents in this order, at this share of the cavity full\n ";
  for (const VentStanding& vent : vents)
    text += printed(" %s %.0f %%%s", vent.id.substr(0, 60).c_str(), 100 * vent.drowns_at_fill,
                    &vent == &vents.back() ? "\n" : ",");
  return text;
}

std::string pocket_lines(const VentingStudy& study) {
  if (study.pockets.empty()) return "\nNo place is cut off from every vent while the box fills.\n";
  std::string text = "\nAir shut in while the box fills, the last to fill first\n";
  for (const AirPocket& pocket : study.pockets)
    text += printed_line("  %2d  %.0f mm3, %.1f mm deep, top at %.0f, %.0f, %.0f mm", pocket.fills_last_rank,
                         pocket.volume_mm3, pocket.depth_mm, pocket.where_mm.x(), pocket.where_mm.y(),
                         pocket.where_mm.z());
  return text;
}

std::string place_lines(const VentingStudy& study) {
  std::vector<VentPlace> helping;
  for (const VentPlace& place : study.places)
    if (place.saves_share.value_or(0) > 0) helping.push_back(place);
  std::stable_sort(helping.begin(), helping.end(),
                   [](const VentPlace& a, const VentPlace& b) { return *a.saves_share > *b.saves_share; });
  std::string text;
  for (const VentPlace& place : helping)
    text += printed_line(
        "  %.0f, %.0f, %.0f mm: the worst place is reached %.0f %% sooner (rank %d of %zu on the map)",
        place.where_mm.x(), place.where_mm.y(), place.where_mm.z(), 100 * *place.saves_share, place.rank,
        study.places.size());
  return text.empty() ? text : "\nWhere one more vent would help (the whole map: --json)\n" + text;
}

std::string line_of(const char* what, const VentingLine& line) {
  return printed("  %-55s %5.4g %%; ", what, 100 * line.value) + line.origin + "\n";
}

// Of a line that is a ratio, what goes beyond 1.
VentingLine beyond_one(VentingLine line) {
  line.value -= 1;
  return line;
}

std::string leak_line(const VentingLines& lines) {
  return line_of("leak at the parting face, more is to be watched", lines.leak_at_most);
}

std::string blowing_judged_by(const VentingLines& lines) {
  return "\nJudged by\n" +
         line_of("slower to fill than as designed, more is to be watched",
                 beyond_one(lines.watch_fill_slower)) +
         line_of("and more is a hold", beyond_one(lines.hold_fill_slower)) + leak_line(lines);
}

std::string venting_judged_by(const VentingLines& lines) {
  return "\nJudged by\n" + line_of("part of the core that counts as reached last", lines.worst_share) +
         line_of("that it may be reached later than as designed", beyond_one(lines.slower_at_most)) +
         line_of("unpurged when gassing ends, more is a hold", lines.unpurged_at_most) +
         line_of("of its limit plugged, more is to be watched", lines.plugged_of_limit) + leak_line(lines);
}

}  // namespace

std::string blow_text(const BlowStudy& study) {
  std::string text = head(study.verdict, study.reasons);
  text += "Filling\n";
  text += fill_line("as found", study.found);
  if (study.with_clean_vents) text += fill_line("with clean vents", *study.with_clean_vents);
  if (study.with_shut_halves) text += fill_line("with shut halves", *study.with_shut_halves);
  text += fill_line("as designed", study.designed);
  text += fill_line("no heat exchanged", study.found_adiabatic);
  text += printed_line("  open vents are %.2f times the blow tubes' area", study.vent_to_blow_area_ratio);
  text += printed_line("  %d steps, each within %.0e of the size of what it follows; air is kept to %.0e",
                       study.found.steps, study.found.step_tolerance, study.found.mass_error);
  text += "\nThe air's ways out\n";
  for (const PathStanding& path : study.paths)
    text += printed_line("  %-12s %5.1f %%, %.2e kg/s", path.id.substr(0, 60).c_str(), 100 * path.share,
                         path.mass_flow_kg_s);
  return text + restore_text(study) + blowing_judged_by(study.lines) + "\n" + what_blowing_is() + "\n" +
         listed("Take care", blowing_cautions()) + listed("Notes", study.notes);
}

std::string vents_text(const VentingStudy& study) {
  std::string text = head(study.verdict, study.reasons);
  text += "Gas through the core\n";
  text += printed_line("  flow       %.3e kg/s; inertia takes %.0f %% of what the sand holds back",
                       study.mass_flow_kg_s, 100 * study.inertia_share);
  text += printed_line("  on its way %.3g s (half of the core), %.3g s (95 %%), %.3g s (all)",
                       study.residence_s.p50, study.residence_s.p95, study.residence_s.max);
  text += printed_line(
      "  worst      the %.3g %% reached last: %.3g s (designed %.3g, limit %.3g), last at "
      "%.0f, %.0f, %.0f mm",
      100 * study.lines.worst_share.value, study.worst_age_s, study.worst_age_designed_s, study.limit_s,
      study.worst_at_mm.x(), study.worst_at_mm.y(), study.worst_at_mm.z());
  text +=
      printed_line("  unpurged   %.2f %% of the pore space when gassing ends", 100 * study.unpurged_fraction);
  if (study.leak_kg_s > 0)
    text += printed_line("  leak       %.1f %% leaves through the parting face", 100 * study.leak_share);
  text += printed_line("  grid       %zu voxels of %.2f mm; in and out agree to %.0e; permeability %.2e m2",
                       study.voxels, study.voxel_mm, study.balance_error, study.permeability_m2);
  return text + vent_lines(study) + drowning_lines(study.vents) + pocket_lines(study) + place_lines(study) +
         venting_judged_by(study.lines) + "\n" + what_venting_is() + "\n" +
         listed("Take care", venting_cautions()) + listed("Notes", study.notes);
}

}  // namespace boxfettle
