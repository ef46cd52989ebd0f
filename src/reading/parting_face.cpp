#include "reading/parting_face.hpp"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>

#include "reading/face_form.hpp"
#include "reading/peak_depth.hpp"
#include "reading/smoothed_face.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

constexpr double degrees = 180 / std::numbers::pi;
constexpr std::size_t fewest_cells = 30;

// Mean height of each full square, after strays are dropped: what the smooth form is fitted to.
std::vector<FacePoint> cell_heights(const FaceCells& cells, const CellReading& reading) {
  std::vector<FacePoint> heights;
  for (std::size_t c = 0; c < cells.full().size(); ++c)
    if (reading.count[c] > 0)
      heights.push_back(
          {cells.centre_mm(cells.square_of_cell()[c]), static_cast<double>(reading.mean_mm[c])});
  return heights;
}

// The points as read_cells and sharpen take them: only those in full squares.
struct PointsInCells {
  std::vector<SurfaceHit> hits;  // on squares in place of triangles
  std::vector<std::uint32_t> point;
};

template <typename Value>
PointsInCells in_cells(const FaceCells& cells, std::span<const FacePoint> points, const Value& value) {
  PointsInCells in;
  for (std::uint32_t i = 0; i < points.size(); ++i) {
    const std::size_t s = cells.square_at(points[i].at_mm);
    if (cells.full().cell_of_triangle[s] == FaceCells::none) continue;
    in.hits.push_back({static_cast<float>(value(points[i])), static_cast<std::uint32_t>(s)});
    in.point.push_back(i);
  }
  return in;
}

// From the middle of the highest square to the middle of the bump: each step goes to the points' mean,
// weighted by their own height.
Vector2d climbed(Vector2d from, double within_mm, std::span<const FacePoint> points,
                 const PointsInCells& residual, double depth_mm) {
  for (int step = 0; step < 6; ++step) {
    Vector2d sum = Vector2d::Zero();
    double weights = 0;
    for (std::size_t i = 0; i < residual.point.size(); ++i) {
      const Vector2d& at = points[residual.point[i]].at_mm;
      const double height = static_cast<double>(residual.hits[i].signed_mm) * (depth_mm < 0 ? -1 : 1);
      if ((at - from).norm() > within_mm || height < 0) continue;
      sum += height * at;
      weights += height;
    }
    if (weights == 0) break;
    from = sum / weights;
  }
  return from;
}

// The summit of a quadric through the points about the peak. Small damage in a sparse scan needs points from
// nearly all of it, where a quadric is too blunt: of a bump like cos^2 it misses about a quarter of (radius /
// whole radius)^4.
void sharpen_damage(Patch& patch, std::span<const FacePoint> points, const PointsInCells& residual,
                    const PartingFace& parting, const CellReading& reading) {
  constexpr double inner_share = 0.45, blunt_share = 0.25;
  constexpr std::size_t wanted = 24;
  const double whole_mm = std::sqrt(patch.area_mm2 / std::numbers::pi);
  const Vector2d peak =
      climbed(parting.at_parting_mm(patch.where_mm), whole_mm, points, residual, patch.depth_mm);
  patch.where_mm = parting.at_design_mm(peak);
  std::vector<std::pair<double, PatchPoint>> near;
  for (std::size_t i = 0; i < residual.point.size(); ++i) {
    const Vector2d& at = points[residual.point[i]].at_mm;
    if ((at - peak).norm() < whole_mm)
      near.push_back(
          {(at - peak).norm(), {parting.at_design_mm(at), static_cast<double>(residual.hits[i].signed_mm)}});
  }
  std::sort(near.begin(), near.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  double radius_mm = inner_share * whole_mm;
  if (near.size() >= wanted) radius_mm = std::max(radius_mm, near[wanted - 1].first + 1e-6);
  std::vector<PatchPoint> taken;
  for (const auto& [distance, p] : near)
    if (distance < radius_mm) taken.push_back(p);
  const std::optional<PeakDepth> fitted =
      near.size() < wanted ? std::nullopt
                           : peak_depth(taken, patch.where_mm, radius_mm, reading.noise_mm, reading.drift_mm);
  if (!fitted || (fitted->depth_mm > 0) != (patch.depth_mm > 0)) {
    patch.u95_mm =
        std::hypot(patch.u95_mm, patch.depth_mm);  // a mean over most of it: half the peak, perhaps
    return;
  }
  patch.where_mm = fitted->at_mm;
  patch.depth_mm = fitted->depth_mm;
  patch.u95_mm = std::hypot(fitted->u95_mm,
                            blunt_share * std::pow(radius_mm / whole_mm, 4) * std::abs(fitted->depth_mm));
}

// A bump rises within a cell by no more than it is high.
PointsInCells without_strays(const FaceCells& cells, const PointsInCells& all, const CellReading& reading) {
  PointsInCells kept;
  for (std::size_t i = 0; i < all.point.size(); ++i) {
    const float mean = reading.mean_mm[cells.full().cell_of_triangle[all.hits[i].triangle]];
    if (std::abs(all.hits[i].signed_mm - mean) > static_cast<float>(5 * reading.noise_mm) + std::abs(mean))
      continue;
    kept.hits.push_back(all.hits[i]);
    kept.point.push_back(all.point[i]);
  }
  return kept;
}

std::vector<FaceDamage> find_damage(const HalfDesign& design, const FaceCells& cells,
                                    std::span<const FacePoint> points, const PointsInCells& with_strays,
                                    const CellReading& reading, double floor_mm) {
  std::vector<FaceDamage> damage;
  const PointsInCells residual = without_strays(cells, with_strays, reading);
  // As in the cavity, ten times fewer are asked for than are meant: few points a cell show their noise too
  // low.
  for (Patch& patch : find_patches(cells.full(), reading, {floor_mm, 0.001})) {
    sharpen_damage(patch, points, residual, design.parting(), reading);
    FaceDamage found{std::move(patch), OutlineMap::known_mm};
    for (const std::uint32_t c : found.patch.cells)
      found.to_cavity_mm = std::min(
          found.to_cavity_mm,
          design.outline().to_edge_mm(cells.centre_mm(cells.square_of_cell()[c])) - 0.5 * cells.side_mm());
    damage.push_back(std::move(found));
  }
  return damage;
}

// Squares in or beside damage: not of the face's form.
std::vector<bool> damaged_squares(const FaceCells& cells, const std::vector<FaceDamage>& damage) {
  std::vector<bool> damaged(cells.columns() * cells.rows(), false);
  for (const FaceDamage& d : damage)
    for (const std::uint32_t c : d.patch.cells)
      for (const std::size_t n : cells.around(cells.square_of_cell()[c])) damaged[n] = true;
  return damaged;
}

void place_against_cavity(PartingFaceReading& reading, const MeasuredFace& face, const HalfDesign& design,
                          const PoseFit& cavity, const Vector3d& pivot_mm, const PlaneDoubt& plane) {
  const PartingFace& parting = design.parting();
  const Vector2d centroid = parting.at_parting_mm(design.centroid_mm());
  reading.centroid_mm = design.centroid_mm();
  reading.offset_mm = face.plane.at(centroid);
  reading.offset_worst_mm = reading.offset_mm;
  for (const auto& line : design.outline_lines())
    for (const Vector2d& p : line)
      if (std::abs(face.plane.at(p)) > std::abs(reading.offset_worst_mm))
        reading.offset_worst_mm = face.plane.at(p);
  // Rising along y is a turn about x; rising along x is a turn against y; the upper half's face is seen from
  // below.
  const double up = design.half() == Half::lower ? 1 : -1;
  reading.tilt_deg = up * degrees * Vector2d(face.plane.slope.y(), -face.plane.slope.x());

  const boost::math::students_t student(std::max(static_cast<double>(cavity.blocks) - 6, 1.0));
  const double k = boost::math::quantile(student, 0.975);
  Vector6d lift;
  lift << (design.centroid_mm() - pivot_mm).cross(parting.normal), parting.normal;
  reading.offset_u95_mm =
      k * std::hypot(std::sqrt(std::max(lift.dot(cavity.covariance * lift), 0.0)), plane.height_mm);
  double turn = 0;
  for (const Vector3d& axis : {parting.x_axis, parting.y_axis})
    turn = std::max(turn, axis.dot(cavity.covariance.topLeftCorner<3, 3>() * axis));
  reading.tilt_u95_deg = k * degrees * std::hypot(std::sqrt(std::max(turn, 0.0)), plane.slope.maxCoeff());
}

std::vector<FacePoint> form_over_full_squares(const FaceForm& form, const FaceCells& cells) {
  std::vector<FacePoint> points;
  for (const std::uint32_t s : cells.square_of_cell())
    points.push_back({cells.centre_mm(s), form.at(cells.centre_mm(s))});
  return points;
}

// The plane is meant of the whole face. What it would be with the places that could not be used, by the
// face's form, is part of the doubt.
PlaneDoubt with_places_left_out(const PlaneDoubt& doubt, const SlopedPlane& measured,
                                const SlopedPlane& whole, const Vector2d& at_mm) {
  const Vector2d turned = measured.slope - whole.slope;
  return {std::hypot(doubt.height_mm, measured.at(at_mm) - whole.at(at_mm)),
          {std::hypot(doubt.slope.x(), turned.x()), std::hypot(doubt.slope.y(), turned.y())}};
}

std::vector<float> means_of_squares(const FaceCells& cells, std::span<const FacePoint> taken) {
  std::vector<float> sum(cells.columns() * cells.rows(), 0);
  std::vector<std::uint32_t> count(sum.size(), 0);
  for (const FacePoint& p : taken) {
    const std::size_t s = cells.square_at(p.at_mm);
    sum[s] += static_cast<float>(p.height_mm);
    ++count[s];
  }
  for (std::size_t s = 0; s < sum.size(); ++s)
    sum[s] = cells.seen(s) && count[s] > 0 ? sum[s] / static_cast<float>(count[s])
                                           : std::numeric_limits<float>::quiet_NaN();
  return sum;
}

}  // namespace

MeasuredFace measured_face(const HalfDesign& design, std::span<const DowelZone> dowels,
                           std::span<const FacePoint> given, const PoseFit& cavity, const Vector3d& pivot_mm,
                           double floor_mm) {
  constexpr double any_height_mm = 1e9;
  MeasuredFace face{{}, {}, 0, {}, FaceCells(design, dowels, given), {}};
  if (face.cells.full().size() < fewest_cells) {
    face.reading.why_not = "Too little of the parting face was seen to measure it.";
    return face;
  }
  const FaceCells& cells = face.cells;
  std::vector<FacePoint> points;
  std::copy_if(given.begin(), given.end(), std::back_inserter(points),
               [&](const FacePoint& p) { return cells.holds(p.at_mm); });
  const PointsInCells heights = in_cells(cells, points, [](const FacePoint& p) { return p.height_mm; });
  const CellReading raw =
      read_cells(cells.full(), hits_of_cells(cells.full(), heights.hits), heights.hits, any_height_mm);
  const FaceForm form(cell_heights(cells, raw));
  // Positive where metal is missing, as in the cavity.
  const PointsInCells residual =
      in_cells(cells, points, [&](const FacePoint& p) { return form.at(p.at_mm) - p.height_mm; });
  const CellReading reading =
      read_cells(cells.full(), hits_of_cells(cells.full(), residual.hits), residual.hits, any_height_mm);
  face.noise_mm = reading.noise_mm;
  face.damage = find_damage(design, cells, points, residual, reading, std::max(floor_mm, reading.noise_mm));

  const std::vector<bool> damaged = damaged_squares(cells, face.damage);
  const double stray_mm = 5 * std::hypot(reading.noise_mm, reading.drift_mm) + 0.005;
  std::vector<FacePoint> taken, sound, off_form;
  for (const FacePoint& p : points) {
    const std::size_t s = cells.square_at(p.at_mm);
    const std::uint32_t c = cells.full().cell_of_triangle[s];
    const double middle = c == FaceCells::none ? 0 : -static_cast<double>(reading.mean_mm[c]);
    if (std::abs(p.height_mm - form.at(p.at_mm) - middle) > stray_mm) continue;
    taken.push_back(p);
    if (damaged[s] || c == FaceCells::none) continue;
    sound.push_back(p);
    off_form.push_back({p.at_mm, p.height_mm - form.at(p.at_mm)});
  }
  face.off_plane_mm = means_of_squares(cells, taken);
  const SmoothedFace smoothed(cells, sound, damaged);
  if (smoothed.places().size() < fewest_cells) {
    face.reading.why_not = "Too little of the parting face is sound enough to measure its form.";
    return face;
  }
  const Flatness flat = flatness(smoothed, form, reading.drift_mm);
  PartingFaceReading& r = face.reading;
  r.told = true;
  r.flatness_ls_mm = flat.least_squares_mm;
  r.flatness_min_zone_mm = flat.minimum_zone_mm;
  r.flatness_u95_mm = flat.u95_mm;
  r.coverage_fraction = cells.coverage_fraction();
  face.plane = least_squares_plane(sound);
  const Vector2d centroid = design.parting().at_parting_mm(design.centroid_mm());
  place_against_cavity(
      r, face, design, cavity, pivot_mm,
      with_places_left_out(plane_doubt(off_form, centroid), face.plane,
                           least_squares_plane(form_over_full_squares(form, cells)), centroid));
  return face;
}

}  // namespace boxfettle
