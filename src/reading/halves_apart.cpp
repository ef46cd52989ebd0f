#include "reading/halves_apart.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>

#include "reading/oriented_points.hpp"
#include "reading/patches.hpp"

namespace boxfettle {
namespace {

// Points both halves together are fitted to: beyond this form, not noise, limits them.
constexpr std::size_t fit_sample = 120000, rough_sample = 30000;
constexpr double beside_parting_mm = 1.5;  // points this near the parting belong to neither half's alignment

// Which half of the core each triangle of the design belongs to: +1 upper, -1 lower, 0 too near the parting
// to say.
std::vector<std::int8_t> sides(const DesignSurface& design, const PartingFace& parting, double band_mm) {
  std::vector<std::int8_t> side(design.mesh().triangles.size());
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, side.size(), 8192), [&](const auto& range) {
    for (std::size_t t = range.begin(); t != range.end(); ++t) {
      double low = 1e300, high = -1e300;
      for (int corner = 0; corner < 3; ++corner) {
        const double h = parting.height_mm(design.mesh().corner(t, corner));
        low = std::min(low, h);
        high = std::max(high, h);
      }
      side[t] = low > band_mm ? std::int8_t{1} : high < -band_mm ? std::int8_t{-1} : std::int8_t{0};
    }
  });
  return side;
}

// Points of each half that are of the part and outside `excluded` cells.
HalfPoints points_of_halves(const LaidScan& scan, const std::vector<std::int8_t>& side,
                            const SurfaceCells& cells, const std::vector<bool>& excluded, std::size_t count) {
  HalfPoints halves;
  halves.lower.cloud.origin_mm = halves.upper.cloud.origin_mm = scan.cloud.origin_mm;
  for (const std::uint32_t i : fair_runs(scan.hits.size(), count)) {
    const std::uint32_t t = scan.hits[i].triangle;
    if (side[t] == 0 || std::abs(scan.hits[i].signed_mm) > static_cast<float>(scan.reach_mm) ||
        excluded[cells.cell_of_triangle[t]])
      continue;
    KnownPoints& half = side[t] > 0 ? halves.upper : halves.lower;
    half.cloud.offsets_mm.push_back(scan.cloud.offsets_mm[i]);
    half.triangle.push_back(t);
  }
  return halves;
}

// What each half's own pose makes of the distances, to first order: the halves move by tenths of a
// millimetre, over which the surface is flat to well under a hundredth.
class WithoutMotion {
 public:
  WithoutMotion(const LaidScan& scan, const DesignSurface& design, const PartingFace& parting,
                const std::vector<std::int8_t>& side, const HalfPoses& poses)
      : scan_(scan),
        normals_(design.index().triangle_normals()),
        parting_(parting),
        side_(side),
        poses_(poses),
        lower_(move_of_offsets(poses.lower)),
        upper_(move_of_offsets(poses.upper)) {}

  float operator()(std::size_t i) const {
    const SurfaceHit& hit = scan_.hits[i];
    const Eigen::Vector3d n = normals_[hit.triangle].cast<double>();
    const Eigen::Vector3d offset = scan_.cloud.offsets_mm[i].cast<double>();
    const Move& half = is_upper(i) ? upper_ : lower_;
    return hit.signed_mm + static_cast<float>(n.dot(half.linear * offset + half.constant_mm));
  }

  bool is_upper(std::size_t i) const {
    const SurfaceHit& hit = scan_.hits[i];
    if (side_[hit.triangle] != 0) return side_[hit.triangle] > 0;
    const Eigen::Vector3d at = scan_.design_from_scan * scan_.cloud.point_mm(i);
    return parting_.height_mm(at - hit.signed_mm * normals_[hit.triangle].cast<double>()) > 0;
  }
  const RigidPose& pose(bool upper) const { return upper ? poses_.upper : poses_.lower; }

 private:
  // Where a point's offset goes under the half's pose, less where it goes under the whole's.
  struct Move {
    Eigen::Matrix3d linear;
    Eigen::Vector3d constant_mm;
  };
  Move move_of_offsets(const RigidPose& half) const {
    const RigidPose& whole = scan_.design_from_scan;
    return {half.rotation - whole.rotation, half * scan_.cloud.origin_mm - whole * scan_.cloud.origin_mm};
  }

  const LaidScan& scan_;
  const std::vector<Eigen::Vector3f>& normals_;
  const PartingFace& parting_;
  const std::vector<std::int8_t>& side_;
  HalfPoses poses_;
  Move lower_, upper_;
};

// Cells of the patches and those beside them.
std::vector<bool> cells_about(const std::vector<Patch>& patches, const SurfaceCells& cells) {
  std::vector<bool> about(cells.size(), false);
  for (const Patch& patch : patches)
    for (const std::uint32_t c : patch.cells) {
      about[c] = true;
      for (const std::uint32_t beside : cells.neighbours[c]) about[beside] = true;
    }
  return about;
}

// Along an edge a half that moved lays some points on the face next door, which the first order does not see.
// What looks off is therefore measured exactly, with its half where it lies, before anything is said of it.
void look_again(HalvesApart& apart, const LaidScan& scan, const DesignSurface& design,
                const SurfaceCells& cells, const WithoutMotion& halves, const Limits& limits) {
  const std::vector<Patch> suspects =
      find_patches(cells, apart.by_cell, {shallowest_patch_mm(apart.by_cell, limits)});
  if (suspects.empty()) return;
  const std::vector<bool> about = cells_about(suspects, cells);
  for (const bool upper : {false, true}) {
    std::vector<std::uint32_t> places;
    for (std::uint32_t i = 0; i < apart.triangle.size(); ++i)
      if (about[cells.cell_of_triangle[apart.triangle[i]]] && halves.is_upper(i) == upper)
        places.push_back(i);
    const std::vector<SurfaceHit> found =
        design.index().closest(points_at(scan.cloud, places), halves.pose(upper), scan.reach_mm);
    for (std::size_t k = 0; k < places.size(); ++k) {
      if (found[k].triangle == no_triangle) continue;
      apart.residual_mm[places[k]] = found[k].signed_mm;
      apart.triangle[places[k]] = found[k].triangle;
    }
  }
  read_again(apart.by_cell, cells, about, apart.residual_mm, apart.triangle, scan.reach_mm);
}

// Cells of places that look worn with the halves laid roughly. Some twenty points a cell tell enough of that.
std::vector<bool> worn_cells(const LaidScan& scan, const WithoutMotion& residual, const SurfaceCells& cells,
                             const Limits& limits) {
  const std::size_t stride = std::max<std::size_t>(1, scan.hits.size() / (20 * cells.size()));
  std::vector<float> residual_mm;
  std::vector<std::uint32_t> triangle;
  for (std::size_t i = 0; i < scan.hits.size(); i += stride) {
    residual_mm.push_back(residual(i));
    triangle.push_back(scan.hits[i].triangle);
  }
  const CellReading reading = read_cells(cells, residual_mm, triangle, scan.reach_mm);
  std::vector<bool> worn(cells.size(), false);
  for (const Patch& patch : find_patches(cells, reading, {shallowest_patch_mm(reading, limits)}))
    for (const std::uint32_t c : patch.cells) worn[c] = true;
  return worn;
}

}  // namespace

double shallowest_patch_mm(const CellReading& reading, const Limits& limits) {
  return std::max(reading.noise_mm, 0.1 * limits.surface_mm);
}

HalvesApart tell_halves_apart(const LaidScan& scan, const DesignSurface& design, const SurfaceCells& cells,
                              const CoreBox& box, const std::vector<Eigen::Vector3d>& outline,
                              const Eigen::Vector3d& centroid_mm) {
  const std::vector<std::int8_t> side = sides(design, box.parting, beside_parting_mm);
  const HalfPoints all =
      points_of_halves(scan, side, cells, std::vector<bool>(cells.size(), false), rough_sample);
  const HalfPoses whole{scan.design_from_scan, scan.design_from_scan};
  const HalfPoses rough = roughly_laid_halves(design.index(), all, whole, centroid_mm);
  const WithoutMotion roughly(scan, design, box.parting, side, rough);
  const HalfPoints sound =
      points_of_halves(scan, side, cells, worn_cells(scan, roughly, cells, box.limits), fit_sample);
  const HalvesFit fit =
      fit_halves(design.index(), sound, rough, box.parting, outline, centroid_mm, box.limits);
  HalvesApart apart{fit.reading, std::vector<float>(scan.hits.size()), {}, {}};
  apart.triangle.reserve(scan.hits.size());
  for (const SurfaceHit& hit : scan.hits) apart.triangle.push_back(hit.triangle);
  const WithoutMotion finally(scan, design, box.parting, side,
                              {fit.lower.surface_from_points, fit.upper.surface_from_points});
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, apart.residual_mm.size(), 16384),
                    [&](const auto& range) {
                      for (std::size_t i = range.begin(); i != range.end(); ++i)
                        apart.residual_mm[i] = fit.reading.told ? finally(i) : scan.hits[i].signed_mm;
                    });
  apart.by_cell = read_cells(cells, apart.residual_mm, apart.triangle, scan.reach_mm);
  if (fit.reading.told) look_again(apart, scan, design, cells, finally, box.limits);
  return apart;
}

}  // namespace boxfettle
