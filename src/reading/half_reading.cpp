#include "reading/half_reading.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "input/input_error.hpp"
#include "reading/deviation_map.hpp"
#include "reading/dowels.hpp"
#include "reading/findings.hpp"
#include "reading/half_design.hpp"
#include "reading/half_findings.hpp"
#include "reading/half_pose.hpp"
#include "reading/half_surface.hpp"
#include "reading/oriented_points.hpp"
#include "reading/parting_face.hpp"
#include "reading/patches.hpp"
#include "reading/printed.hpp"
#include "reading/scan_points.hpp"
#include "reading/steps.hpp"
#include "reading/surface_cells.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;

constexpr std::size_t fit_sample = 60000;
constexpr double face_reach_mm = 3;  // the face is sought this near its place

// The scan's points on the cavity, with what was measured at each.
struct CavityPoints {
  PointCloud cloud;  // in the scan's frame
  std::vector<SurfaceHit> hits;
};

// Whether a point lies beside the cavity's border rather than over it: its nearest place is the border, and
// it stands off aslant. Chosen by where the surface is and not by how deep the point is: noise would choose
// along.
bool beside_border(const HalfDesign& design, const Vector3d& at, const SurfaceHit& hit) {
  constexpr double upright = 0.95;
  if (!design.at_border(hit.triangle)) return false;
  const SurfaceIndex& index = design.cavity().index();
  const Vector3d away = at - index.nearest_on(hit.triangle, at);
  const Vector3d normal = index.triangle_normals()[hit.triangle].cast<double>();
  return std::abs(normal.dot(away)) < upright * away.norm();
}

// A point is of the cavity when it lies under the face, over the cavity's surface, and within reach of it.
CavityPoints cavity_points(const HalfDesign& design, const PointCloud& cloud, const RigidPose& pose,
                           double reach_mm) {
  PointCloud under;
  under.origin_mm = cloud.origin_mm;
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const double height = design.height_mm(pose * cloud.point_mm(i));
    if (height < -0.5 * rim_mm && height > -design.deepest_mm() - reach_mm)
      under.offsets_mm.push_back(cloud.offsets_mm[i]);
  }
  const std::vector<SurfaceHit> hits = design.cavity().index().closest(under, pose);
  CavityPoints points;
  points.cloud.origin_mm = cloud.origin_mm;
  for (std::size_t i = 0; i < hits.size(); ++i) {
    if (std::abs(hits[i].signed_mm) > static_cast<float>(reach_mm) ||
        beside_border(design, pose * under.point_mm(i), hits[i]))
      continue;
    points.cloud.offsets_mm.push_back(under.offsets_mm[i]);
    points.hits.push_back(hits[i]);
  }
  return points;
}

// The noise of single points is found up to a tenth too low where cells hold few: ten times fewer false
// patches are asked for, to get about one in a hundred scans.
PatchSettings patch_settings(const CellReading& reading, double limit_mm) {
  return {std::max(reading.noise_mm, 0.1 * limit_mm), 0.001};
}

// The cavity laid on the design: twice, the second time without the places found worn the first time.
struct CavityFit {
  PoseFit pose;
  CavityPoints points;
  SurfaceCells cells;
  CellReading reading;
};

PointCloud outside_of(const CavityFit& fit, const std::vector<Patch>& patches) {
  std::vector<bool> worn(fit.cells.size(), false);
  for (const Patch& patch : patches)
    for (const std::uint32_t c : patch.cells) worn[c] = true;
  PointCloud sound;
  sound.origin_mm = fit.points.cloud.origin_mm;
  for (std::size_t i = 0; i < fit.points.hits.size(); ++i)
    if (!worn[fit.cells.cell_of_triangle[fit.points.hits[i].triangle]])
      sound.offsets_mm.push_back(fit.points.cloud.offsets_mm[i]);
  return sound;
}

CavityFit fit_cavity(const HalfDesign& design, const PointCloud& cloud, const HalfPose& start,
                     const Limits& limits, double reach_mm) {
  CavityFit fit;
  const DesignSurface& cavity = design.cavity();
  const Vector3d pivot = cavity.bounds().centre();
  FitSettings settings;
  settings.widest_mm = 4 * start.reach_mm;
  fit.pose.surface_from_points = start.design_from_scan;
  fit.points = cavity_points(design, cloud, start.design_from_scan, reach_mm);
  fit.cells = cut_into_cells(cavity, cell_side_mm(cavity.area_mm2(), fit.points.hits.size()));
  PointCloud sound = fit.points.cloud;
  for (int round = 0; round < 2 && sound.size() > 0; ++round) {
    fit.pose = fit_pose(cavity.index(), fair_sample(sound, fit_sample), fit.pose.surface_from_points, pivot,
                        settings);
    fit.points = cavity_points(design, cloud, fit.pose.surface_from_points, reach_mm);
    fit.reading = read_cells(fit.cells, hits_of_cells(fit.cells, fit.points.hits), fit.points.hits, reach_mm);
    sound =
        outside_of(fit, find_patches(fit.cells, fit.reading, patch_settings(fit.reading, limits.surface_mm)));
  }
  return fit;
}

// The points that are not of the cavity, in the parting face's axes.
struct FaceSide {
  std::vector<FacePoint> face;
  std::vector<WallPoint> near_dowels;  // heights over the design's parting plane
  std::size_t neither = 0;             // points of the scan that are of neither
};

// A loose piece's own top is none of the half's face.
bool over_loose_piece(const HalfDesign& design, const CoreBox& box, const Eigen::Vector2d& p) {
  return std::any_of(box.loose_pieces.begin(), box.loose_pieces.end(), [&](const LoosePiece& piece) {
    for (double depth = 0; depth <= face_reach_mm; depth += 0.5 * rim_mm) {
      const Vector3d at = design.parting().at_design_mm(p) - depth * design.out_of_tool();
      if ((at.array() >= piece.region_min_mm.array()).all() &&
          (at.array() <= piece.region_max_mm.array()).all())
        return true;
    }
    return false;
  });
}

FaceSide face_side(const HalfDesign& design, std::span<const DowelZone> dowels, const CoreBox& box,
                   const PointCloud& cloud, const RigidPose& pose) {
  constexpr double dowel_reach_mm = 60;  // pins are not longer, bores not seen deeper
  FaceSide side;
  // Where the cavity runs on under the face (a loose piece lets it), its roof is no dent.
  const auto is_roof = [&](const Vector3d& at, double height) {
    return height < -0.5 * rim_mm &&
           std::abs(design.cavity().index().closest(at).signed_mm) < 0.5 * std::abs(height);
  };
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const Vector3d at = pose * cloud.point_mm(i);
    const double height = design.height_mm(at);
    const Eigen::Vector2d p = design.parting().at_parting_mm(at);
    const bool face = std::abs(height) < face_reach_mm && may_be_face(design, dowels, p) &&
                      !is_roof(at, height) && !over_loose_piece(design, box, p);
    const bool dowel =
        std::abs(height) < dowel_reach_mm &&
        std::any_of(dowels.begin(), dowels.end(), [&](const DowelZone& d) { return d.distance_mm(p) < 1; });
    if (face) side.face.push_back({p, height});
    if (dowel) side.near_dowels.push_back({p, height});
    side.neither += !face && !dowel;
  }
  return side;
}

// Below this share of points on the cavity the other half is tried; worn or coated halves lie below as well.
constexpr double surely_this_half = 0.95;

// What to say when the scan lies clearly better on the other half's cavity; empty when it does not.
std::string taken_of_the_other(const HalfDesign& design, const TriangleMesh& design_mesh,
                               const PointCloud& cloud, const HalfPose& pose) {
  constexpr double clearly = 0.1;
  if (pose.cavity_fitting > surely_this_half) return {};
  const Half half = design.half() == Half::lower ? Half::upper : Half::lower;
  if (!has_cavity(design_mesh, design.parting(), half)) return {};
  const HalfPose other = find_half_pose(HalfDesign(design_mesh, design.parting(), half), cloud, {});
  if (!other.why_not.empty() || other.cavity_fitting < pose.cavity_fitting + clearly) return {};
  return printed(
             "The scan lies on the %s half's cavity (%.0f %% of what may be of it) and not on the %s's (%.0f "
             "%%): ",
             name(half).data(), 100 * other.cavity_fitting, name(design.half()).data(),
             100 * pose.cavity_fitting) +
         "the other half was scanned, and nothing is said of this one.";
}

// Why nothing better than 'cannot tell' may be said; empty when there is no such reason.
std::vector<std::string> doubts(const ScanReading& reading, const HalfPose& pose, const PoseFit& fit) {
  constexpr double fewest_fitting = 0.8, fewest_seen = 0.5;
  std::vector<std::string> why;
  if (pose.cavity_fitting < fewest_fitting)
    why.push_back(
        printed("Only %.0f %% of what lies within the core's outline is on the half's cavity: it may be "
                "another box.",
                100 * pose.cavity_fitting));
  if (pose.ambiguous)
    why.emplace_back(
        "The half fits the design in more than one way; which one is true cannot be told from the scan "
        "alone. Three datum targets or a scan pose in the box file, of this half's scan, settle it.");
  if (reading.deviation.coverage_fraction < fewest_seen)
    why.push_back(printed("Only %.0f %% of the cavity was seen.", 100 * reading.deviation.coverage_fraction));
  if (!fit.converged) why.emplace_back("The cavity could not be laid on the design steadily.");
  if (reading.parting_face && !reading.parting_face->told) why.push_back(reading.parting_face->why_not);
  return why;
}

void add_cavity_findings(ScanReading& reading, const HalfDesign& design, CavityFit& fit, const CoreBox& box) {
  const PointReading single{fit.points.hits, [&](std::size_t i) {
                              return fit.pose.surface_from_points * fit.points.cloud.point_mm(i);
                            }};
  for (Patch& patch :
       find_patches(fit.cells, fit.reading, patch_settings(fit.reading, box.limits.surface_mm))) {
    sharpen(patch, fit.cells, fit.reading, single);
    reading.findings.push_back(patch_finding(patch, fit.cells, design.cavity(), &box, box.limits));
  }
  constexpr double unseen_share = 0.02;  // of the cavity; smaller holes are in coverage_fraction only
  for (const Patch& patch : find_unseen(fit.cells, fit.reading, unseen_share * design.cavity().area_mm2()))
    reading.findings.push_back(unseen_finding(patch, fit.cells, design.cavity(), &box));
}

void read_face(ScanReading& reading, const HalfDesign& design, const PointCloud& cloud,
               const CavityFit& cavity, const CoreBox& box) {
  const PoseFit& fit = cavity.pose;
  const std::vector<DowelZone> dowels = dowel_zones(box);
  FaceSide side = face_side(design, dowels, box, cloud, fit.surface_from_points);
  const double of_none = static_cast<double>(side.neither) - static_cast<double>(cavity.points.hits.size());
  reading.deviation.outlier_fraction = std::max(of_none, 0.0) / static_cast<double>(cloud.size());
  const Vector3d pivot = design.cavity().bounds().centre();
  const MeasuredFace face = measured_face(design, dowels, side.face, fit, pivot, 0.1 * box.limits.gap_mm);
  reading.parting_face = face.reading;
  for (WallPoint& p : side.near_dowels) p.height_mm -= face.plane.at(p.at_mm);
  reading.dowels = read_dowels(box, side.near_dowels, fit, pivot);

  const std::vector<Finding> damage = face_damage_findings(face, box);
  add_face(reading, design, face, damage);
  for (const std::vector<Finding>& found :
       {face_form_findings(face.reading, box, design.centroid_mm()), dowel_findings(reading.dowels, box)})
    reading.findings.insert(reading.findings.end(), found.begin(), found.end());
  for (const DowelReading& dowel : reading.dowels)
    if (!dowel.told) reading.notes.push_back("Dowel " + dowel.id + " cannot be told: " + dowel.why_not + ".");
  if (!face.damage.empty())
    reading.notes.emplace_back(
        "Flatness, tilt and offset are of the parting face without the places told as damage.");
}

// The cavity's sheet faces into the tool, as the core's surface does; a picture wants what a scanner sees.
void turn_to_scanner(TriangleMesh& surface) {
  for (Triangle& triangle : surface.triangles) std::swap(triangle[1], triangle[2]);
}

}  // namespace

ScanReading read_half(const TriangleMesh& design_mesh, const std::variant<TriangleMesh, PointCloud>& scan,
                      Half half, const CoreBox& box, const ScanSettings& settings) {
  const Steps steps(settings);
  steps.reached(0.02, "preparing the design");
  const HalfDesign design(design_mesh, box.parting, half);
  const DesignSurface size_of_half(OpenSheet{half_outline_sheet(design, box)});
  ScanPoints points = scan_points(points_in_order(scan), size_of_half, settings.scan_unit);

  ScanReading reading;
  reading.of = half == Half::upper ? ScanSubject::half_upper : ScanSubject::half_lower;
  reading.scan_unit = points.unit;
  reading.notes = design.notes();
  reading.notes.insert(reading.notes.end(), points.notes.begin(), points.notes.end());
  steps.reached(0.2, "finding how the half lies");
  const HalfPose pose = find_half_pose(design, points.cloud, box.rough_design_from_scan);
  const std::string nothing_told =
      pose.why_not.empty() ? taken_of_the_other(design, design_mesh, points.cloud, pose) : pose.why_not;
  if (!nothing_told.empty()) {
    reading.measured = false;
    reading.notes.push_back(nothing_told);
    reading.surface = design.cavity().mesh();
    reading.vertex_deviation_mm.assign(reading.surface.vertices.size(),
                                       std::numeric_limits<float>::quiet_NaN());
    turn_to_scanner(reading.surface);
    return reading;
  }
  if (pose.settled)
    reading.notes.emplace_back(
        "The half fits the design in more than one way; the box file's scan pose or datum targets say which "
        "one is meant.");
  reading.pose_ambiguous = pose.ambiguous;
  reading.alternatives = pose.alternatives;

  steps.reached(0.6, "laying the cavity on the design");
  const double reach_mm = std::max(0.02 * design.cavity().bounds().diagonal(), 10 * box.limits.surface_mm);
  CavityFit fit = fit_cavity(design, points.cloud, pose, box.limits, reach_mm);
  reading.design_from_scan = fit.pose.surface_from_points;
  reading.deviation =
      deviation_figures(fit.points.hits, fit.cells, fit.reading, reach_mm, box.limits.surface_mm);
  reading.noise_mm = fit.reading.noise_mm;
  reading.surface = design.cavity().mesh();
  reading.vertex_deviation_mm =
      vertex_deviations(fit.points.hits, design.cavity().mesh(), fit.cells, fit.reading, reach_mm);
  steps.reached(0.75, "looking for worn places");
  add_cavity_findings(reading, design, fit, box);
  steps.reached(0.85, "measuring the parting face");
  read_face(reading, design, points.cloud, fit, box);
  turn_to_scanner(reading.surface);
  std::stable_sort(reading.findings.begin(), reading.findings.end(),
                   [](const Finding& a, const Finding& b) { return a.severity > b.severity; });
  const std::vector<std::string> why = doubts(reading, pose, fit.pose);
  reading.notes.insert(reading.notes.end(), why.begin(), why.end());
  reading.verdict = verdict_of(reading.findings, why.empty());
  steps.reached(1.0, "done");
  return reading;
}

ScanReading read_scanned(ScanSubject of, const TriangleMesh& design,
                         const std::variant<TriangleMesh, PointCloud>& scan, const CoreBox* box,
                         const ScanSettings& settings) {
  if (of == ScanSubject::core) return read_scan(design, scan, box, settings);
  if (box == nullptr)
    throw InputError("scan", "", "shows a half, and where a half parts only a box file says",
                     "give the box file, or scan a core");
  return read_half(design, scan, of == ScanSubject::half_upper ? Half::upper : Half::lower, *box, settings);
}

}  // namespace boxfettle
