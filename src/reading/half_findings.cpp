#include "reading/half_findings.hpp"

#include <algorithm>
#include <cmath>

#include "reading/findings.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

constexpr double beside_cavity_mm = 3;  // a dent this near the cavity's edge fills with sand and gives a fin
constexpr double worth_saying = 0.15;   // of the limit

bool tells(double size, double u95, double limit) {
  return std::abs(size) > std::max(2 * u95, worth_saying * limit);
}

std::string dent_text(const Finding& f, bool beside_cavity, const CoreBox& box) {
  const std::string place = area_and_place_words(f.area_mm2, f.where_mm, &box);
  if (beside_cavity)
    return printed("Dent in the parting face at the cavity's edge, %.2f mm deep, over ",
                   std::abs(f.depth_mm)) +
           place + ": it gives a fin; weld or fill it and dress it flush.";
  return printed("Dent in the parting face, %.2f mm deep, over ", std::abs(f.depth_mm)) + place +
         ", away from the cavity: it does not hold the box open; see that nothing raised stands round it.";
}

std::string raised_text(const Finding& f, const CoreBox& box) {
  return printed("Metal stands %.2f mm above the parting face over ", std::abs(f.depth_mm)) +
         area_and_place_words(f.area_mm2, f.where_mm, &box) +
         ": it keeps the halves apart; clean the face first, and if it is metal dress it flush.";
}

std::string dowel_word(DowelKind kind) {
  return kind == DowelKind::pin ? "pin" : kind == DowelKind::bore ? "bore" : "slot";
}

}  // namespace

std::vector<Finding> face_damage_findings(const MeasuredFace& face, const CoreBox& box) {
  std::vector<Finding> findings;
  const double limit = box.limits.gap_mm;
  for (const FaceDamage& damage : face.damage) {
    const Patch& patch = damage.patch;
    const bool dent = patch.depth_mm > 0, beside_cavity = damage.to_cavity_mm < beside_cavity_mm;
    Finding f{dent ? FindingKind::dent : FindingKind::raised_metal,
              severity_of(patch.depth_mm, patch.u95_mm, limit), patch.where_mm};
    if (dent && !beside_cavity) f.severity = std::min(f.severity, Severity::watch);
    f.area_mm2 = patch.area_mm2;
    f.depth_mm = patch.depth_mm;
    f.volume_mm3 = patch.volume_mm3;
    f.u95_mm = patch.u95_mm;
    f.limit_mm = limit;
    f.text = dent ? dent_text(f, beside_cavity, box) : raised_text(f, box);
    findings.push_back(std::move(f));
  }
  return findings;
}

std::vector<Finding> face_form_findings(const PartingFaceReading& face, const CoreBox& box,
                                        const Eigen::Vector3d& where_mm) {
  std::vector<Finding> findings;
  if (!face.told) return findings;
  const double limit = box.limits.gap_mm;
  const auto add = [&](double size, double u95, std::string text) {
    if (!tells(size, u95, limit)) return;
    Finding f{FindingKind::gap, severity_of(size, u95, limit), where_mm};
    f.depth_mm = size;
    f.u95_mm = u95;
    f.limit_mm = limit;
    f.text = std::move(text);
    findings.push_back(std::move(f));
  };
  const double off = face.offset_worst_mm;
  add(off, face.offset_u95_mm,
      off > 0
          ? printed(
                "The parting face stands up to %.2f mm proud of where the cavity wants it: the cavity is too "
                "deep, and cores come out that much too tall across the parting.",
                off)
          : printed(
                "The parting face lies up to %.2f mm below where the cavity wants it: it has lost metal, and "
                "cores come out that much too short across the parting.",
                -off));
  add(face.flatness_min_zone_mm, face.flatness_u95_mm,
      printed(
          "The parting face is %.2f mm out of flat: the halves cannot close all round; have it checked on a "
          "surface plate before it is ground or scraped.",
          face.flatness_min_zone_mm));
  return findings;
}

std::vector<Finding> dowel_findings(const std::vector<DowelReading>& dowels, const CoreBox& box) {
  std::vector<Finding> findings;
  const double limit = box.limits.mismatch_mm;
  for (const DowelReading& d : dowels) {
    if (!d.told) continue;
    const double off = d.offset_mm.norm(),
                 play = (d.kind == DowelKind::pin ? -1 : 1) * (d.diameter_mm - d.nominal_mm);
    const bool is_off = tells(off, d.at_u95_mm, limit),
               is_worn = play > 0 && tells(play, d.diameter_u95_mm, limit);
    if (!is_off && !is_worn) continue;
    const bool by_place = is_off && (!is_worn || off > play);
    const double size = by_place ? off : play, u95 = by_place ? d.at_u95_mm : d.diameter_u95_mm;
    Finding f{FindingKind::mismatch, severity_of(size, u95, limit),
              box.parting.at_design_mm(d.at_parting_mm)};
    f.depth_mm = size;
    f.u95_mm = u95;
    f.limit_mm = limit;
    f.text = "Dowel " + dowel_word(d.kind) + " " + d.id;
    if (is_off)
      f.text += printed(" stands %.2f mm off its place (%+.2f along x, %+.2f along y)", off, d.offset_mm.x(),
                        d.offset_mm.y());
    if (is_off && is_worn) f.text += " and";
    if (is_worn)
      f.text += printed(" measures %.2f mm where the box file has %.2f", d.diameter_mm, d.nominal_mm);
    f.text += is_off ? ": the halves will not meet; check it with a gauge pin before it is moved."
                     : ": it lets the halves shift; renew it and check its partner.";
    findings.push_back(std::move(f));
  }
  return findings;
}

}  // namespace boxfettle
