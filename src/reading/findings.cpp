#include "reading/findings.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "reading/printed.hpp"

namespace boxfettle {
namespace {

std::string area_words(double area_mm2) {
  return area_mm2 < 100 ? printed("%.0f mm²", area_mm2) : printed("%.1f cm²", area_mm2 / 100);
}

std::string half_words(const Eigen::Vector3d& where_mm, const CoreBox* box) {
  if (box == nullptr) return "the surface";
  return box->parting.height_mm(where_mm) > 0 ? "the upper half" : "the lower half";
}

// The nearest part of the box with a name, when one is near enough to steer by.
std::string landmark(const Eigen::Vector3d& where_mm, const CoreBox* box) {
  if (box == nullptr) return {};
  constexpr double near_mm = 60, beside_mm = 0.5;
  double best = near_mm;
  std::string words;
  const auto offer = [&](const Eigen::Vector3d& at, const std::string& what, const std::string& id) {
    const double distance = (at - where_mm).norm();
    if (distance >= best) return;
    best = distance;
    words = (distance < beside_mm ? ", at " : printed(", %.0f mm from ", distance)) + what + " " + id;
  };
  for (const Vent& v : box->vents) offer(v.at_design_mm, "vent", v.id);
  for (const BlowInlet& b : box->blow_inlets) offer(b.at_design_mm, "blow inlet", b.id);
  for (const Dowel& d : box->dowels) offer(box->parting.at_design_mm(d.at_parting_mm), "dowel", d.id);
  for (const LoosePiece& p : box->loose_pieces) {
    const Eigen::Vector3d inside = where_mm.cwiseMax(p.region_min_mm).cwiseMin(p.region_max_mm);
    offer(inside, "loose piece", p.id);
  }
  return words;
}

std::vector<std::uint32_t> vertices_of(const Patch& patch, const SurfaceCells& cells,
                                       const TriangleMesh& mesh) {
  std::vector<bool> in(cells.size(), false);
  for (const std::uint32_t c : patch.cells) in[c] = true;
  std::vector<std::uint32_t> vertices;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    if (in[cells.cell_of_triangle[t]])
      vertices.insert(vertices.end(), mesh.triangles[t].begin(), mesh.triangles[t].end());
  std::sort(vertices.begin(), vertices.end());
  vertices.erase(std::unique(vertices.begin(), vertices.end()), vertices.end());
  return vertices;
}

// Extra core along the parting line and nowhere else is a fin, not wear.
bool lies_along_parting(const Patch& patch, const SurfaceCells& cells, const CoreBox& box) {
  constexpr double near_parting_mm = 3;
  double near = 0;
  for (const std::uint32_t c : patch.cells)
    if (std::abs(box.parting.height_mm(cells.centre_mm[c])) < near_parting_mm) near += cells.area_mm2[c];
  return near > 0.8 * patch.area_mm2;
}

// The loose piece whose whole region strays together, when there is one: the patch keeps to the region and
// fills it.
const LoosePiece* piece_of(const Patch& patch, const SurfaceCells& cells, const CoreBox& box) {
  constexpr double keeps_to_it = 0.6, fills_it = 0.6;
  for (const LoosePiece& piece : box.loose_pieces) {
    const auto inside = [&](std::uint32_t c) {
      const Eigen::Vector3d& at = cells.centre_mm[c];
      return (at.array() >= piece.region_min_mm.array()).all() &&
             (at.array() <= piece.region_max_mm.array()).all();
    };
    double region = 0, shared = 0;
    for (std::uint32_t c = 0; c < cells.size(); ++c)
      if (inside(c)) region += cells.area_mm2[c];
    for (const std::uint32_t c : patch.cells)
      if (inside(c)) shared += cells.area_mm2[c];
    if (shared > keeps_to_it * patch.area_mm2 && shared > fills_it * region) return &piece;
  }
  return nullptr;
}

// The vent whose mark this is: the patch lies on its disc and is no larger, give or take a rim of cells.
const Vent* vent_of(const Patch& patch, const CoreBox& box) {
  constexpr double rim_mm = 3;
  for (const Vent& vent : box.vents) {
    const double radius_mm = 0.5 * vent.diameter_mm + rim_mm;
    if ((patch.where_mm - vent.at_design_mm).norm() < radius_mm &&
        patch.area_mm2 < std::numbers::pi * radius_mm * radius_mm)
      return &vent;
  }
  return nullptr;
}

FindingKind kind_of(const Patch& patch, const SurfaceCells& cells, const CoreBox* box) {
  if (box != nullptr && piece_of(patch, cells, *box) != nullptr) return FindingKind::missing_piece;
  if (box != nullptr && vent_of(patch, *box) != nullptr) return FindingKind::vent_print;
  if (patch.depth_mm < 0) return FindingKind::build_up;
  return box != nullptr && lies_along_parting(patch, cells, *box) ? FindingKind::fin : FindingKind::wear;
}

std::string piece_text(const Finding& f, const LoosePiece& piece) {
  return printed("The whole surface of loose piece %s (%s) stands %.2f mm too ", piece.id.c_str(),
                 piece.name.c_str(), std::abs(f.depth_mm)) +
         (f.depth_mm > 0 ? "high" : "low") + ": it was left out, was another one, or did not seat.";
}

std::string vent_text(const Finding& f, const Vent& vent) {
  return printed("Vent %s leaves a %s of %.2f mm in the core: it ", vent.id.c_str(),
                 f.depth_mm < 0 ? "hollow" : "stub", std::abs(f.depth_mm)) +
         (f.depth_mm < 0 ? "stands proud or carries stuck sand; clean it and seat it flush."
                         : "sits too deep or is missing; seat it flush or renew it.");
}

std::string patch_text(const Finding& f, const CoreBox* box) {
  const std::string place = area_words(f.area_mm2) + landmark(f.where_mm, box);
  const double depth = std::abs(f.depth_mm);
  switch (f.kind) {
    case FindingKind::fin:
      return printed("Fin along the parting, up to %.2f mm, over ", depth) + place +
             ": look at the parting face for dirt, dents and a clamp that does not close.";
    case FindingKind::build_up:
      return printed("The core lacks up to %.2f mm on ", depth) + half_words(f.where_mm, box) + " over " +
             place + ": look there for stuck sand or binder and clean before anything is cut.";
    default:
      return printed("The core carries up to %.2f mm extra on ", depth) + half_words(f.where_mm, box) +
             " over " + place + ": the cavity has lost metal there; measure it and plan its repair.";
  }
}

Eigen::Vector3d furthest_along(const std::vector<Eigen::Vector3d>& outline, const Eigen::Vector3d& from) {
  Eigen::Vector3d furthest = from;
  for (const Eigen::Vector3d& p : outline)
    if ((p - from).squaredNorm() > (furthest - from).squaredNorm()) furthest = p;
  return furthest;
}

}  // namespace

Severity severity_of(double size_mm, double u95_mm, double limit_mm) {
  constexpr double nearing = 0.7;
  const double size = std::abs(size_mm);
  if (size >= limit_mm) return Severity::hold;
  return size + u95_mm > limit_mm || size > nearing * limit_mm ? Severity::watch : Severity::note;
}

std::vector<Finding> halves_findings(const HalvesReading& halves, const CoreBox& box,
                                     const std::vector<Eigen::Vector3d>& outline) {
  std::vector<Finding> findings;
  if (!halves.told) return findings;
  constexpr double worth_saying = 0.15;  // of the limit
  const auto tells = [&](double size, double u95, double limit) {
    return std::abs(size) > std::max(2 * u95, worth_saying * limit);
  };
  const Eigen::Vector3d where = furthest_along(outline, halves.centroid_mm);
  if (tells(halves.mismatch_worst_mm, halves.mismatch_u95_mm, box.limits.mismatch_mm)) {
    Finding f{FindingKind::mismatch,
              severity_of(halves.mismatch_worst_mm, halves.mismatch_u95_mm, box.limits.mismatch_mm), where};
    f.depth_mm = halves.mismatch_worst_mm;
    f.u95_mm = halves.mismatch_u95_mm;
    f.limit_mm = box.limits.mismatch_mm;
    f.text = printed(
        "The upper half stands up to %.2f mm off the lower one (%+.2f along x, %+.2f along y, turned %+.3f "
        "deg): "
        "measure dowel pins and bushes.",
        f.depth_mm, halves.mismatch_mm.x(), halves.mismatch_mm.y(), halves.rotation_deg);
    findings.push_back(std::move(f));
  }
  if (tells(halves.gap_worst_mm, halves.gap_u95_mm, box.limits.gap_mm)) {
    Finding f{FindingKind::gap, severity_of(halves.gap_worst_mm, halves.gap_u95_mm, box.limits.gap_mm),
              where};
    f.depth_mm = halves.gap_mm;
    f.u95_mm = halves.gap_u95_mm;
    f.limit_mm = box.limits.gap_mm;
    f.text = halves.gap_worst_mm > 0
                 ? printed(
                       "The core is %.2f mm too tall across the parting (up to %.2f mm at the outline): the "
                       "halves did not "
                       "close; look for dirt, dents or a slack clamp before the box shoots again.",
                       halves.gap_mm, halves.gap_worst_mm)
                 : printed(
                       "The core is %.2f mm too short across the parting (up to %.2f mm at the outline): the "
                       "parting face "
                       "may have lost metal.",
                       -halves.gap_mm, -halves.gap_worst_mm);
    findings.push_back(std::move(f));
  }
  return findings;
}

Finding patch_finding(const Patch& patch, const SurfaceCells& cells, const DesignSurface& design,
                      const CoreBox* box, const Limits& limits) {
  Finding f{kind_of(patch, cells, box), severity_of(patch.depth_mm, patch.u95_mm, limits.surface_mm),
            design.index().closest(patch.where_mm).at_mm};
  f.area_mm2 = patch.area_mm2;
  f.depth_mm = patch.depth_mm;
  f.volume_mm3 = patch.volume_mm3;
  f.u95_mm = patch.u95_mm;
  f.limit_mm = limits.surface_mm;
  f.vertices = vertices_of(patch, cells, design.mesh());
  f.text = f.kind == FindingKind::missing_piece ? piece_text(f, *piece_of(patch, cells, *box))
           : f.kind == FindingKind::vent_print  ? vent_text(f, *vent_of(patch, *box))
                                                : patch_text(f, box);
  return f;
}

std::string area_and_place_words(double area_mm2, const Eigen::Vector3d& where_mm, const CoreBox* box) {
  return area_words(area_mm2) + landmark(where_mm, box);
}

Finding unseen_finding(const Patch& patch, const SurfaceCells& cells, const DesignSurface& design,
                       const CoreBox* box) {
  Finding f{FindingKind::unseen, Severity::note, design.index().closest(patch.where_mm).at_mm};
  f.area_mm2 = patch.area_mm2;
  f.vertices = vertices_of(patch, cells, design.mesh());
  f.text = "The scan did not reach " + area_words(f.area_mm2) + " of " + half_words(f.where_mm, box) +
           landmark(f.where_mm, box) + ": nothing is said of its condition.";
  return f;
}

std::string place_words(const Eigen::Vector3d& where_mm, const CoreBox* box) {
  return half_words(where_mm, box) + landmark(where_mm, box);
}

ScanVerdict verdict_of(const std::vector<Finding>& findings, bool can_tell) {
  Severity worst = Severity::note;
  for (const Finding& f : findings) worst = std::max(worst, f.severity);
  if (worst == Severity::hold) return ScanVerdict::hold;
  if (!can_tell) return ScanVerdict::cannot_tell;
  return worst == Severity::watch ? ScanVerdict::watch : ScanVerdict::fit;
}

}  // namespace boxfettle
