#include "service/scan_job.hpp"

#include <filesystem>
#include <optional>

#include "corebox/casting_tolerance.hpp"
#include "geometry/surface_file.hpp"
#include "input/input_error.hpp"
#include "paper/scan_reading_json.hpp"
#include "paper/section_json.hpp"
#include "paper/surface_blob.hpp"
#include "reading/design_file.hpp"
#include "reading/half_reading.hpp"
#include "service/box_on_record.hpp"
#include "service/scan_order.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

// A casting grade limits the surface by the size of the core.
GradedLimits graded_by_size(const std::optional<CoreBox>& box, const TriangleMesh& design) {
  if (!box) return {};
  const Bounds core = bounds(design);
  return graded_limits(box->limits, core.empty() ? 0 : (core.high - core.low).maxCoeff());
}

ScanRead::Verdict told(ScanVerdict verdict) {
  switch (verdict) {
    case ScanVerdict::fit:
      return ScanRead::Verdict::fit;
    case ScanVerdict::watch:
      return ScanRead::Verdict::watch;
    case ScanVerdict::hold:
      return ScanRead::Verdict::hold;
    case ScanVerdict::cannot_tell:
      return ScanRead::Verdict::cannot_tell;
  }
  return ScanRead::Verdict::cannot_tell;
}

ScanRead::Subject told(ScanSubject of) {
  return of == ScanSubject::core         ? ScanRead::Subject::core
         : of == ScanSubject::half_upper ? ScanRead::Subject::half_upper
                                         : ScanRead::Subject::half_lower;
}

ScanRead entry_of(const Job& job, const ScanReading& reading, const std::string& id) {
  constexpr std::size_t most_findings = 50;  // the logbook keeps the hardest; the reading has them all
  ScanRead entry;
  entry.reading = id;
  entry.file_name = job.work.file_name;
  entry.scan = job.work.file;
  entry.of = told(reading.of);
  entry.verdict = told(reading.verdict);
  for (const Finding& finding : reading.findings) {
    if (entry.findings.size() == most_findings) break;
    entry.findings.push_back({std::string(name(finding.kind)), std::string(name(finding.severity)),
                              finding.text, finding.depth_mm, finding.limit_mm});
  }
  if (reading.halves && reading.halves->told) {
    entry.mismatch_mm = reading.halves->mismatch_worst_mm;
    entry.gap_mm = reading.halves->gap_mm;
  }
  return entry;
}

InputFile input_file(const fs::path& path, const std::string& name, const ContentHash& hash) {
  return {name, static_cast<std::size_t>(fs::file_size(path)), hash.hex()};
}

}  // namespace

FinishedScanJob do_scan_job(const Job& job, const BoxState& box, const StoredFiles& files,
                            const std::function<bool(double, std::string_view)>& progress) {
  const BoxRegistered& registered = *box.registered;
  const std::string& scan_name = job.work.file_name;
  const fs::path scan_path = kept_file(files, job.work.file, scan_name);
  if (fs::file_size(scan_path) > most_scan_bytes)
    throw InputError(scan_name, "", "is larger than " + std::to_string(most_scan_bytes >> 20) + " MiB",
                     "thin it or crop it to the part");

  const std::optional<ScanOrder> order = scan_order(job.work.settings);
  if (!order)
    throw InputError(scan_name, "", "was queued by a program with other ideas of a scan", "send it again");
  if (!progress(0, "reading the files")) throw ReadingCancelled{};
  std::optional<CoreBox> core_box = box_on_record(registered, files);
  StepReading step_reading;
  step_reading.while_waiting = [&] {
    if (!progress(0, "reading the files")) throw ReadingCancelled{};
  };
  StepReading design_reading = step_reading;
  design_reading.body = order->design_body;
  design_reading.choose_body =
      "choose the core's, or register the box again with that body alone";
  const DesignFile design = design_on_record(registered, core_box, files, design_reading);
  const SurfaceFile scan =
      told_by_name(scan_name, [&] { return read_surface_file(scan_path, step_reading); });

  GradedLimits graded = graded_by_size(core_box, design.mesh_mm);
  if (core_box) core_box->limits = graded.limits;

  ScanSettings settings;
  settings.scan_unit = scan.unit ? scan.unit : order->unit;
  settings.progress = [&](double share, std::string_view step) { return progress(0.05 + 0.9 * share, step); };
  ScanReading reading =
      read_scanned(order->of, design.mesh_mm, scan.surface, core_box ? &*core_box : nullptr, settings);
  reading.notes.insert(reading.notes.begin(), design.notes.begin(), design.notes.end());
  reading.notes.insert(reading.notes.begin(), graded.notes.begin(), graded.notes.end());

  const std::string id = "reading-" + job.id;
  const std::vector<InputFile> inputs{
      input_file(kept_file(files, *registered.design, "design"), registered.design_name, *registered.design),
      input_file(scan_path, scan_name, job.work.file)};
  StoredReading kept{
      id, job.work.box, scan_reading_json(reading, inputs).dump(), surface_blob(reading), {}};
  if (core_box && order->of == ScanSubject::core)
    kept.section = section_json(reading.section, core_box->parting).dump();
  return {std::move(kept), entry_of(job, reading, id)};
}

}  // namespace boxfettle
