#include "paper/scan_reading_text.hpp"

#include <algorithm>
#include <cctype>

#include "paper/half_text.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

std::string capitals(std::string_view word) {
  std::string text;
  for (const char c : word) text += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return text;
}

std::string findings_text(const std::vector<Finding>& findings) {
  if (findings.empty()) return "Nothing was found beyond the scan's own noise.\n";
  std::string text = "Found\n";
  for (const Finding& finding : findings) {
    text += "  " + capitals(name(finding.severity)) + "  " + std::string(name(finding.kind)) + ": " +
            finding.text + "\n";
    const Eigen::Vector3d& at = finding.where_mm;
    text += printed_line("        at x %.1f, y %.1f, z %.1f mm of the design", at.x(), at.y(), at.z());
  }
  return text;
}

std::string halves_text(const HalvesReading& halves, const CoreBox& box) {
  if (!halves.told) return "Halves\n  cannot be told: " + halves.why_not + "\n";
  std::string text = "Upper half against the lower, at the middle of the parting outline\n";
  text += printed_line("  mismatch   x %+.3f, y %+.3f mm (worst %.3f), give or take %.3f; limit %.3f",
                       halves.mismatch_mm.x(), halves.mismatch_mm.y(), halves.mismatch_worst_mm,
                       halves.mismatch_u95_mm, box.limits.mismatch_mm);
  text += printed_line("  rotation   %+.4f degrees, give or take %.4f", halves.rotation_deg,
                       halves.rotation_u95_deg);
  text += printed_line("  opening    %+.3f mm (worst %+.3f), give or take %.3f; limit %.3f", halves.gap_mm,
                       halves.gap_worst_mm, halves.gap_u95_mm, box.limits.gap_mm);
  return text + printed_line("  tilt       about x %+.4f, about y %+.4f degrees", halves.tilt_deg.x(),
                             halves.tilt_deg.y());
}

std::string deviation_text(const Deviation& d, double surface_limit_mm) {
  std::string text = "Surface against the design (plus is outside)\n";
  text += printed_line("  mean %+.3f mm, standard deviation %.3f; 90 %% of points from %+.3f to %+.3f",
                       d.mean_mm, d.sd_mm, d.p05_mm, d.p95_mm);
  text += printed_line(
      "  %.1f %% of points within %.2f mm; %.1f %% of the surface seen; %.1f %% of points not of the part",
      100 * d.within_limit_fraction, surface_limit_mm, 100 * d.coverage_fraction, 100 * d.outlier_fraction);
  return text;
}

}  // namespace

std::string scan_reading_text(const ScanReading& reading, const CoreBox* box) {
  std::string text = "Verdict: " + capitals(name(reading.verdict)) + "\n\n";
  if (reading.measured)
    text += findings_text(reading.findings) + "\n";
  else
    text += "Nothing was measured: see the notes.\n";
  if (reading.measured && reading.halves && box != nullptr) text += halves_text(*reading.halves, *box) + "\n";
  if (reading.of != ScanSubject::core && box != nullptr) text += half_text(reading, *box);
  if (reading.measured) {
    text += deviation_text(reading.deviation, box != nullptr ? box->limits.surface_mm : Limits{}.surface_mm);
    text += printed_line("  the scan is in %s; its points scatter by %.3f mm",
                         std::string(name(reading.scan_unit)).c_str(), reading.noise_mm);
  }
  if (!reading.notes.empty()) text += "\nNotes\n";
  for (const std::string& note : reading.notes) text += "  - " + note + "\n";
  return text;
}

}  // namespace boxfettle
