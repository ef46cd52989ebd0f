#include "paper/half_text.hpp"

#include "reading/printed.hpp"

namespace boxfettle {
namespace {

std::string face_text(const PartingFaceReading& face, const CoreBox& box) {
  if (!face.told) return "Parting face\n  cannot be told: " + face.why_not + "\n";
  std::string text = "Parting face, against the cavity\n";
  text += printed_line(
      "  flatness   %.3f mm about the least squares plane, %.3f between two planes, give or take %.3f",
      face.flatness_ls_mm, face.flatness_min_zone_mm, face.flatness_u95_mm);
  text +=
      printed_line("  height     %+.3f mm (worst %+.3f; plus stands proud), give or take %.3f; limit %.3f",
                   face.offset_mm, face.offset_worst_mm, face.offset_u95_mm, box.limits.gap_mm);
  text += printed_line("  tilt       about x %+.4f, about y %+.4f degrees, give or take %.4f",
                       face.tilt_deg.x(), face.tilt_deg.y(), face.tilt_u95_deg);
  return text + printed_line("  %.1f %% of it seen", 100 * face.coverage_fraction);
}

std::string dowel_text(const DowelReading& dowel) {
  const std::string id = dowel.id.substr(0, 60);
  if (!dowel.told) return "  " + id + "  cannot be told: " + dowel.why_not + "\n";
  const char* kind = dowel.kind == DowelKind::pin ? "pin " : dowel.kind == DowelKind::bore ? "bore" : "slot";
  return printed_line(
      "  %s  %s  %.3f mm %s, give or take %.3f (box file %.3f); off its place by x %+.3f, y %+.3f, give or "
      "take "
      "%.3f",
      id.c_str(), kind, dowel.diameter_mm, dowel.kind == DowelKind::slot ? "across" : "in diameter",
      dowel.diameter_u95_mm, dowel.nominal_mm, dowel.offset_mm.x(), dowel.offset_mm.y(), dowel.at_u95_mm);
}

}  // namespace

std::string half_text(const ScanReading& reading, const CoreBox& box) {
  std::string text;
  if (reading.parting_face) text += face_text(*reading.parting_face, box) + "\n";
  if (reading.dowels.empty()) return text;
  text += "Dowels, where they meet the face\n";
  for (const DowelReading& dowel : reading.dowels) text += dowel_text(dowel);
  return text + "\n";
}

}  // namespace boxfettle
