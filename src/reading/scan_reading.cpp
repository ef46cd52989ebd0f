#include "reading/scan_reading.hpp"

#include <tbb/parallel_invoke.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>

#include "geometry/plane_section.hpp"
#include "input/input_error.hpp"
#include "reading/design_surface.hpp"
#include "reading/deviation_map.hpp"
#include "reading/findings.hpp"
#include "reading/halves_apart.hpp"
#include "reading/oriented_points.hpp"
#include "reading/parting_section.hpp"
#include "reading/patches.hpp"
#include "reading/pose_fit.hpp"
#include "reading/pose_search.hpp"
#include "reading/printed.hpp"
#include "reading/scan_points.hpp"
#include "reading/steps.hpp"
#include "reading/surface_cells.hpp"
#include "reading/table_plane.hpp"

namespace boxfettle {
namespace {

// Points the whole is fitted to before all of them have the last word.
constexpr std::size_t fit_sample = 8000;

struct Section {
  std::vector<SectionLine> lines;
  std::vector<Eigen::Vector3d> outline;
  Eigen::Vector3d centroid_mm;
};

Section section_at(const PartingFace& parting, const DesignSurface& design) {
  Section s;
  s.lines = plane_section(design.mesh(), parting.normal, parting.normal.dot(parting.point_mm));
  for (const SectionLine& line : s.lines)
    s.outline.insert(s.outline.end(), line.points_mm.begin(), line.points_mm.end());
  s.centroid_mm = section_area(s.lines, parting.normal).centroid_mm;
  return s;
}

// Why nothing better than 'cannot tell' may be said; empty when there is no such reason.
std::vector<std::string> doubts(const ScanReading& reading, const PoseSearch& search) {
  constexpr double fewest_fitting = 0.4, fewest_seen = 0.5;
  std::vector<std::string> why;
  const double fitting = search.candidates.front().fitting_fraction;
  if (fitting < fewest_fitting)
    why.push_back(printed("Only %.0f %% of the scan lies on the design: much of it may be of something else.",
                          100 * fitting));
  if (reading.pose_ambiguous)
    why.emplace_back(
        "The part fits the design in more than one way; which one is true cannot be told from the scan "
        "alone. Three datum targets or a scan pose in the box file settle it.");
  if (reading.deviation.coverage_fraction < fewest_seen)
    why.push_back(
        printed("Only %.0f %% of the design's surface was seen.", 100 * reading.deviation.coverage_fraction));
  if (reading.halves && !reading.halves->told)
    why.push_back("Mismatch and gap cannot be told: " + reading.halves->why_not);
  return why;
}

// Of the points that lie near the design, the share that lies on it, each half where it was found. Cores with
// gross mismatch and gap and scans full of strays have more than half, another part has less than a third.
double share_on_design(std::span<const SurfaceHit> hits, double on_design_mm) {
  const auto on = std::count_if(hits.begin(), hits.end(), [&](const SurfaceHit& hit) {
    return std::abs(hit.signed_mm) < on_design_mm;
  });
  return static_cast<double>(on) / static_cast<double>(hits.size());
}

void say_of_another_part(ScanReading& reading, const CoreBox* box, double on_design) {
  reading.measured = false;
  std::fill(reading.vertex_deviation_mm.begin(), reading.vertex_deviation_mm.end(),
            std::numeric_limits<float>::quiet_NaN());
  if (box != nullptr)
    reading.section = parting_section(reading.surface, reading.vertex_deviation_mm, box->parting);
  reading.notes.push_back(
      printed("Of what lies near the design only %.0f %% lies on it: the scan may be of another part, and no "
              "faults are told from it.",
              100 * on_design));
  if (reading.halves) {
    reading.halves->told = false;
    reading.halves->why_not = "The scan may be of another part.";
  }
}

MeasuredPoints kept(const PointReading& single, const CellReading& residual, double reach_mm) {
  MeasuredPoints kept{{}, residual.noise_mm, residual.drift_mm};
  kept.points.reserve(single.hits.size());
  for (std::size_t i = 0; i < single.hits.size(); ++i)
    if (const SurfaceHit& hit = single.hits[i]; std::abs(hit.signed_mm) <= static_cast<float>(reach_mm))
      kept.points.push_back({single.at_mm(i).cast<float>(), hit.signed_mm, hit.triangle});
  return kept;
}

void add_findings(ScanReading& reading, const DesignSurface& design, const SurfaceCells& cells,
                  const CellReading& residual, const PointReading& points, const CoreBox* box,
                  const Limits& limits, const std::vector<Eigen::Vector3d>& outline) {
  if (reading.halves) reading.findings = halves_findings(*reading.halves, *box, outline);
  for (Patch& patch : find_patches(cells, residual, {shallowest_patch_mm(residual, limits)})) {
    sharpen(patch, cells, residual, points);
    reading.findings.push_back(patch_finding(patch, cells, design, box, limits));
  }
  constexpr double unseen_share = 0.01;  // of the whole surface; smaller holes are in coverage_fraction only
  for (const Patch& patch : find_unseen(cells, residual, unseen_share * design.area_mm2()))
    reading.findings.push_back(unseen_finding(patch, cells, design, box));
  std::stable_sort(reading.findings.begin(), reading.findings.end(),
                   [](const Finding& a, const Finding& b) { return a.severity > b.severity; });
}

struct Prepared {
  std::optional<DesignSurface> design;  // stays where it was made: its index points into it
  ScanPoints scan;
};

void prepare(Prepared& prepared, const TriangleMesh& design_mesh,
             const std::variant<TriangleMesh, PointCloud>& scan, std::optional<LengthUnit> unit) {
  PointCloud in_order;
  tbb::parallel_invoke([&] { prepared.design.emplace(design_mesh); },
                       [&] { in_order = points_in_order(scan); });
  prepared.scan = scan_points(std::move(in_order), *prepared.design, unit);
}

// The part's points, with the whole laid where it fits best.
struct Laid {
  PointCloud points;
  std::vector<SurfaceHit> hits;
  RigidPose design_from_scan;
  double reach_mm, cut_mm;
  double left_out_share;
  bool on_table;
};

Laid lay_whole(const DesignSurface& design, PointCloud points, const PoseSearch& search, double reach_mm) {
  FitSettings settings;
  settings.widest_mm = 4 * search.reach_mm;
  settings.most_steps = 3;
  settings.uncertainty = false;
  const PoseFit fit =
      fit_pose(design.index(), points_at(points, fair_runs(points.size(), fit_sample)),
               search.candidates.front().design_from_scan, design.bounds().centre(), settings);
  const RigidPose& pose = fit.surface_from_points;
  const auto all_points = static_cast<double>(points.size());
  std::vector<SurfaceHit> hits = design.index().closest(points, pose, reach_mm);
  const std::optional<TablePlane> table = table_plane(points, hits, pose);
  const std::size_t left_out = keep_the_part(points, hits, pose, table);
  if (hits.empty())
    throw InputError("scan", "", "none of its points lies on the design", "is this a scan of another part?");
  return {std::move(points), std::move(hits), pose,
          reach_mm,          fit.cut_mm,      static_cast<double>(left_out) / all_points,
          table.has_value()};
}

struct Cells {
  SurfaceCells all;
  HitsOfCells hits;
  CellReading reading;
};

// The last step of the fit is taken meanwhile.
Cells read_in_cells(const DesignSurface& design, Laid& laid) {
  Cells cells;
  tbb::parallel_invoke(
      [&] { cells.all = cut_into_cells(design, cell_side_mm(design.area_mm2(), laid.points.size())); },
      [&] {
        last_step(design.index(), laid.points, laid.hits, laid.design_from_scan, design.bounds().centre(),
                  laid.cut_mm);
      });
  cells.hits = hits_of_cells(cells.all, laid.hits);
  cells.reading = read_cells(cells.all, cells.hits, laid.hits, laid.reach_mm);
  return cells;
}

// What is told of the whole as it lies.
void add_whole(ScanReading& reading, const DesignSurface& design, const Laid& laid, const Cells& cells,
               const Limits& limits) {
  reading.design_from_scan = laid.design_from_scan;
  reading.noise_mm = cells.reading.noise_mm;
  tbb::parallel_invoke(
      [&] {
        reading.deviation =
            deviation_figures(laid.hits, cells.all, cells.reading, laid.reach_mm, limits.surface_mm);
      },
      [&] {
        reading.surface = design.mesh();
        reading.vertex_deviation_mm =
            vertex_deviations(laid.hits, design.mesh(), cells.all, cells.reading, laid.reach_mm);
      });
  reading.deviation.outlier_fraction = laid.left_out_share;
  if (laid.on_table)
    reading.notes.emplace_back("The flat the part stood on is in the scan; its points were left out.");
}

void add_notes(ScanReading& reading, const std::vector<std::string>& notes) {
  reading.notes.insert(reading.notes.end(), notes.begin(), notes.end());
}

void add_pose_search(ScanReading& reading, const PoseSearch& search) {
  reading.pose_ambiguous = search.ambiguous;
  if (search.settled)
    reading.notes.emplace_back(
        "The part fits the design in more than one way; the box file's scan pose or datum targets say which "
        "one is meant.");
  if (search.ambiguous)
    for (std::size_t i = 1; i < search.candidates.size(); ++i)
      reading.alternatives.push_back(search.candidates[i].design_from_scan);
}

}  // namespace

ScanReading read_scan(const TriangleMesh& design_mesh, const std::variant<TriangleMesh, PointCloud>& scan,
                      const CoreBox* box, const ScanSettings& settings) {
  const Steps steps(settings);
  const Limits limits = box != nullptr ? box->limits : Limits{};
  steps.reached(0.02, "preparing the design");
  Prepared prepared;
  prepare(prepared, design_mesh, scan, settings.scan_unit);
  const DesignSurface& design = *prepared.design;
  ScanReading reading;
  reading.scan_unit = prepared.scan.unit;
  add_notes(reading, design.notes());
  add_notes(reading, prepared.scan.notes);

  steps.reached(0.2, "finding how the scan lies");
  const PoseSearch search = search_pose(
      design, prepared.scan.cloud, box != nullptr ? box->rough_design_from_scan : std::optional<RigidPose>{});
  add_pose_search(reading, search);

  steps.reached(0.45, "measuring every point");
  const double reach_mm = std::max(0.02 * design.bounds().diagonal(), 10 * limits.surface_mm);
  Laid laid = lay_whole(design, std::move(prepared.scan.cloud), search, reach_mm);
  Cells cells = read_in_cells(design, laid);
  add_whole(reading, design, laid, cells, limits);

  steps.reached(0.75, "telling the halves apart");
  Section section;
  if (box != nullptr) {
    tbb::parallel_invoke([&] { section = section_at(box->parting, design); },
                         [&] {
                           reading.section =
                               parting_section(reading.surface, reading.vertex_deviation_mm, box->parting);
                         });
    reading.halves =
        tell_halves_apart({laid.points, laid.hits, reading.design_from_scan, reach_mm}, design,
                          {cells.all, cells.hits, cells.reading}, *box, section.outline, section.centroid_mm);
  }
  steps.reached(0.9, "looking for worn places");
  const PointReading single{
      laid.hits, [&](std::size_t i) { return reading.design_from_scan * laid.points.point_mm(i); }};
  constexpr double fewest_on_design = 0.4;
  const double on_design = share_on_design(laid.hits, 2 * search.reach_mm);
  if (on_design < fewest_on_design)
    say_of_another_part(reading, box, on_design);
  else
    add_findings(reading, design, cells.all, cells.reading, single, box, limits, section.outline);
  if (settings.keep_points) reading.points = kept(single, cells.reading, reach_mm);
  if (reading.measured) {
    const std::vector<std::string> why = doubts(reading, search);
    add_notes(reading, why);
    reading.verdict = verdict_of(reading.findings, why.empty());
  }
  steps.reached(1.0, "done");
  return reading;
}

}  // namespace boxfettle
