#include "reading/halves_apart.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/hit_motion.hpp"
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
  HalfPoints halves{{}, {}, scan.design_from_scan};
  for (KnownPoints* half : {&halves.lower, &halves.upper}) {
    half->cloud.origin_mm = scan.cloud.origin_mm;
    half->cloud.offsets_mm.reserve(count);
    half->hits.reserve(count);
  }
  for (const std::uint32_t i : fair_runs(scan.hits.size(), count)) {
    const std::uint32_t t = scan.hits[i].triangle;
    if (side[t] == 0 || std::abs(scan.hits[i].signed_mm) > static_cast<float>(scan.reach_mm) ||
        excluded[cells.cell_of_triangle[t]])
      continue;
    KnownPoints& half = side[t] > 0 ? halves.upper : halves.lower;
    half.cloud.offsets_mm.push_back(scan.cloud.offsets_mm[i]);
    half.hits.push_back(scan.hits[i]);
  }
  return halves;
}

// What each half's own pose makes of the distances, to first order: the halves move by tenths of a
// millimetre, over which the surface is flat to well under a hundredth.
class OwnMotion {
 public:
  OwnMotion(const LaidScan& scan, const DesignSurface& design, const PartingFace& parting,
            const std::vector<std::int8_t>& side, const HalfPoses& poses)
      : scan_(scan),
        mesh_(design.mesh()),
        normals_(design.index().triangle_normals()),
        parting_(parting),
        side_(side),
        poses_(poses),
        lower_(motion_to(poses.lower)),
        upper_(motion_to(poses.upper)) {}

  // To be added to a hit's distance.
  float motion_mm(std::size_t i) const {
    const Eigen::Vector3d offset = scan_.cloud.offsets_mm[i].cast<double>();
    const OffsetMotion& half = is_upper(i) ? upper_ : lower_;
    return normals_[scan_.hits[i].triangle].dot((half.linear * offset + half.constant_mm).cast<float>());
  }

  // Adds it to all. In chunks of one size: where a run of vectors ends decides its last digits, and that must
  // not depend on the number of threads.
  void take_place() const {
    constexpr std::size_t chunk = 16384;
    tbb::parallel_for(std::size_t{0}, (scan_.hits.size() + chunk - 1) / chunk, [&](std::size_t c) {
      const std::size_t end = std::min((c + 1) * chunk, scan_.hits.size());
      for (std::size_t i = c * chunk; i != end;) {  // by runs of one half
        const bool upper = is_upper(i);
        const std::size_t first = i;
        while (i != end && is_upper(i) == upper) ++i;
        add_motion(scan_.hits.subspan(first, i - first),
                   std::span(scan_.cloud.offsets_mm).subspan(first, i - first), normals_,
                   upper ? upper_ : lower_);
      }
    });
  }

  // By its triangle, and where that lies across the parting by its foot there: not by its distance, which the
  // motion changes.
  bool is_upper(std::size_t i) const {
    const std::uint32_t t = scan_.hits[i].triangle;
    if (side_[t] != 0) return side_[t] > 0;
    const Eigen::Vector3d at = scan_.design_from_scan * scan_.cloud.point_mm(i);
    const Eigen::Vector3d normal = normals_[t].cast<double>();
    return parting_.height_mm(at - normal.dot(at - mesh_.corner(t, 0)) * normal) > 0;
  }
  const RigidPose& pose(bool upper) const { return upper ? poses_.upper : poses_.lower; }

 private:
  // Where a point's offset goes under the half's pose, less where it goes under the whole's.
  OffsetMotion motion_to(const RigidPose& half) const {
    const RigidPose& whole = scan_.design_from_scan;
    return {half.rotation - whole.rotation, half * scan_.cloud.origin_mm - whole * scan_.cloud.origin_mm};
  }

  const LaidScan& scan_;
  const TriangleMesh& mesh_;
  const std::vector<Eigen::Vector3f>& normals_;
  const PartingFace& parting_;
  const std::vector<std::int8_t>& side_;
  HalfPoses poses_;
  OffsetMotion lower_, upper_;
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
void look_again(const LaidScan& scan, const DesignSurface& design, const ReadCells& by_cell,
                const OwnMotion& halves, const Limits& limits) {
  const SurfaceCells& cells = by_cell.cells;
  const std::vector<Patch> suspects =
      find_patches(cells, by_cell.reading, {shallowest_patch_mm(by_cell.reading, limits)});
  if (suspects.empty()) return;
  const std::vector<bool> about = cells_about(suspects, cells);
  std::array<std::vector<std::uint32_t>, 2> of_half;
  for (std::size_t c = 0; c < cells.size(); ++c)
    if (about[c])
      for (const std::uint32_t i : by_cell.hits.of(c)) of_half[halves.is_upper(i) ? 1 : 0].push_back(i);
  std::vector<SurfaceHit> again;
  for (const bool upper : {false, true}) {
    const std::vector<std::uint32_t>& places = of_half[upper ? 1 : 0];
    const std::vector<SurfaceHit> found =
        design.index().closest(points_at(scan.cloud, places), halves.pose(upper), scan.reach_mm);
    for (std::size_t k = 0; k < places.size(); ++k) {
      if (found[k].triangle != no_triangle) scan.hits[places[k]] = found[k];
      again.push_back(scan.hits[places[k]]);
    }
  }
  read_again(by_cell.reading, cells, about, again, scan.reach_mm);
}

// Cells of places that look worn with the halves laid roughly. What a half's motion makes of a cell's mean, a
// few of its points tell.
std::vector<bool> worn_cells(const ReadCells& by_cell, const OwnMotion& roughly, const Limits& limits) {
  constexpr std::size_t few = 4;
  std::vector<float> motion_mm(by_cell.cells.size(), 0);
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, motion_mm.size(), 512), [&](const auto& range) {
    for (std::size_t c = range.begin(); c != range.end(); ++c) {
      const std::span<const std::uint32_t> hits = by_cell.hits.of(c);
      const std::size_t stride = std::max<std::size_t>(1, hits.size() / few);
      float sum = 0, count = 0;
      for (std::size_t k = 0; k < hits.size(); k += stride) {
        sum += roughly.motion_mm(hits[k]);
        ++count;
      }
      if (count > 0) motion_mm[c] = sum / count;
    }
  });
  const CellReading reading = moved_by(by_cell.reading, motion_mm);
  std::vector<bool> worn(by_cell.cells.size(), false);
  for (const Patch& patch : find_patches(by_cell.cells, reading, {shallowest_patch_mm(reading, limits)}))
    for (const std::uint32_t c : patch.cells) worn[c] = true;
  return worn;
}

}  // namespace

double shallowest_patch_mm(const CellReading& reading, const Limits& limits) {
  return std::max(reading.noise_mm, 0.1 * limits.surface_mm);
}

HalvesReading tell_halves_apart(const LaidScan& scan, const DesignSurface& design, const ReadCells& by_cell,
                                const CoreBox& box, const std::vector<Eigen::Vector3d>& outline,
                                const Eigen::Vector3d& centroid_mm) {
  const SurfaceCells& cells = by_cell.cells;
  const std::vector<std::int8_t> side = sides(design, box.parting, beside_parting_mm);
  const HalfPoints all =
      points_of_halves(scan, side, cells, std::vector<bool>(cells.size(), false), rough_sample);
  const HalfPoses whole{scan.design_from_scan, scan.design_from_scan};
  const HalfPoses rough = roughly_laid_halves(design.index(), all, whole, centroid_mm);
  const OwnMotion roughly(scan, design, box.parting, side, rough);
  const std::vector<bool> worn = worn_cells(by_cell, roughly, box.limits);
  const HalfPoses near = roughly_laid_halves(
      design.index(), points_of_halves(scan, side, cells, worn, rough_sample), rough, centroid_mm);
  const HalfPoints sound = points_of_halves(scan, side, cells, worn, fit_sample);
  const HalvesFit fit =
      fit_halves(design.index(), sound, near, box.parting, outline, centroid_mm, box.limits);
  if (!fit.reading.told) return fit.reading;
  const OwnMotion finally(scan, design, box.parting, side,
                          {fit.lower.surface_from_points, fit.upper.surface_from_points});
  finally.take_place();
  by_cell.reading = read_cells(cells, by_cell.hits, scan.hits, scan.reach_mm);
  look_again(scan, design, by_cell, finally, box.limits);
  return fit.reading;
}

}  // namespace boxfettle
