#include "reading/face_cells.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

using Eigen::Vector2d;

constexpr double points_per_cell = 10;  // wanted; the square's side follows
constexpr double smallest_cell_mm = 1.5, largest_cell_mm = 8;
constexpr double most_squares = 4e6;
constexpr double off_dowel_mm = 2.5;   // a chamfer, and a dowel that stands off its place
constexpr double seen_share = 0.2;     // of the points a square's area should have
constexpr double spread_share = 0.05;  // of a square's side, across the line its points lie nearest to; all
                                       // of it has 0.29

double turn(const Vector2d& a, const Vector2d& b, const Vector2d& c) {
  return (b - a).x() * (c - a).y() - (b - a).y() * (c - a).x();
}

// Counter-clockwise. Andrew's monotone chain (Information Processing Letters 9, 1979).
std::vector<Vector2d> convex_hull(std::vector<Vector2d> points) {
  std::sort(points.begin(), points.end(), [](const Vector2d& a, const Vector2d& b) {
    return a.x() != b.x() ? a.x() < b.x() : a.y() < b.y();
  });
  std::vector<Vector2d> hull;
  for (int way = 0; way < 2; ++way) {
    const std::size_t floor = hull.size() + 1;
    for (const Vector2d& p : points) {
      while (hull.size() > floor && turn(hull[hull.size() - 2], hull.back(), p) <= 0) hull.pop_back();
      hull.push_back(p);
    }
    hull.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return hull;
}

bool within(const std::vector<Vector2d>& hull, const Vector2d& p) {
  for (std::size_t i = 0; i < hull.size(); ++i)
    if (turn(hull[i], hull[(i + 1) % hull.size()], p) < 0) return false;
  return true;
}

// Sums over the points of one square, enough for how they spread.
struct Spread {
  std::uint32_t count = 0;
  Vector2d sum = Vector2d::Zero();
  Eigen::Matrix2d squares = Eigen::Matrix2d::Zero();

  void add(const Vector2d& from_centre) {
    ++count;
    sum += from_centre;
    squares += from_centre * from_centre.transpose();
  }
  // Standard deviation in the direction in which they spread least.
  double least() const {
    const Eigen::Matrix2d about = squares / count - sum / count * (sum / count).transpose();
    const double half = 0.5 * about.trace();
    return std::sqrt(std::max(half - std::sqrt(std::max(half * half - about.determinant(), 0.0)), 0.0));
  }
};

}  // namespace

double DowelZone::distance_mm(const Vector2d& p) const {
  const Vector2d from = p - at_mm;
  const double along = std::clamp(from.dot(axis), -straight_mm, straight_mm);
  return (from - along * axis).norm() - radius_mm;
}

std::vector<DowelZone> dowel_zones(const CoreBox& box) {
  std::vector<DowelZone> zones;
  for (const Dowel& dowel : box.dowels) {
    DowelZone zone{dowel.at_parting_mm, dowel.slot_axis.normalized(),
                   0.5 * std::max(dowel.pin_mm, dowel.bush_mm) + off_dowel_mm, 0};
    // A slot that never ends is taken as long as its bush is wide, three times over.
    if (dowel.kind == Dowel::Bush::slot)
      zone.straight_mm =
          std::max(0.5 * (dowel.slot_length_mm.value_or(3 * dowel.bush_mm) - dowel.bush_mm), 0.0);
    zones.push_back(zone);
  }
  return zones;
}

bool may_be_face(const HalfDesign& design, std::span<const DowelZone> dowels, const Vector2d& p) {
  if (design.outline().inside(p) || design.outline().to_edge_mm(p) < rim_mm) return false;
  return std::none_of(dowels.begin(), dowels.end(), [&](const DowelZone& d) { return d.distance_mm(p) < 0; });
}

FaceCells::FaceCells(const HalfDesign& design, std::span<const DowelZone> dowels,
                     std::span<const FacePoint> points) {
  if (points.size() < 100) return;
  lay_grid(points);
  std::vector<Spread> spread(columns_ * rows_);
  for (const FacePoint& p : points)
    if (holds(p.at_mm)) spread[square_at(p.at_mm)].add(p.at_mm - centre_mm(square_at(p.at_mm)));
  std::vector<std::uint32_t> filled;
  for (const Spread& s : spread)
    if (s.count > 0) filled.push_back(s.count);
  const auto middle = filled.begin() + static_cast<std::ptrdiff_t>(filled.size() / 2);
  std::nth_element(filled.begin(), middle, filled.end());
  const double fewest = std::max(3.0, seen_share * *middle);
  std::vector<bool> face(spread.size());
  seen_.resize(spread.size());
  for (std::size_t s = 0; s < spread.size(); ++s) {
    // Points in a line are the block's side, which the grid happens to cut: no face goes on there.
    seen_[s] = spread[s].count >= fewest && spread[s].least() > spread_share * side_mm_;
    face[s] = may_be_face(design, dowels, centre_mm(s));
  }
  tell_full(design, face);
  measure_coverage(face);
}

// The far ends of the points may be strays: the middle 99 % along each axis, and a tenth more, is the face.
void FaceCells::lay_grid(std::span<const FacePoint> points) {
  Vector2d high;
  for (const Eigen::Index axis : {0, 1}) {
    std::vector<double> along(points.size());
    for (std::size_t i = 0; i < points.size(); ++i) along[i] = points[i].at_mm[axis];
    std::sort(along.begin(), along.end());
    const std::size_t cut = along.size() / 200;
    const double low = along[cut], top = along[along.size() - 1 - cut], more = 0.1 * (top - low);
    low_mm_[axis] = std::max(low - more, along.front()) - 1e-6;
    high[axis] = std::min(top + more, along.back()) + 1e-6;
  }
  const Vector2d size = high - low_mm_;
  side_mm_ = std::clamp(std::sqrt(points_per_cell * size.prod() / static_cast<double>(points.size())),
                        smallest_cell_mm, largest_cell_mm);
  side_mm_ = std::max(side_mm_, std::sqrt(size.prod() / most_squares));
  columns_ = static_cast<std::size_t>(size.x() / side_mm_) + 1;
  rows_ = static_cast<std::size_t>(size.y() / side_mm_) + 1;
}

bool FaceCells::holds(const Vector2d& p) const {
  const Vector2d at = (p - low_mm_) / side_mm_;
  return at.x() >= 0 && at.y() >= 0 && at.x() < static_cast<double>(columns_) &&
         at.y() < static_cast<double>(rows_);
}

std::size_t FaceCells::square_at(const Vector2d& p) const {
  const Vector2d at = (p - low_mm_) / side_mm_;
  return static_cast<std::size_t>(at.y()) * columns_ + static_cast<std::size_t>(at.x());
}

Vector2d FaceCells::centre_mm(std::size_t square) const {
  return low_mm_ + side_mm_ * Vector2d(static_cast<double>(square % columns_) + 0.5,
                                       static_cast<double>(square / columns_) + 0.5);
}

std::vector<std::size_t> FaceCells::around(std::size_t square) const {
  const auto column = static_cast<std::ptrdiff_t>(square % columns_);
  const auto row = static_cast<std::ptrdiff_t>(square / columns_);
  std::vector<std::size_t> squares;
  for (std::ptrdiff_t r = row - 1; r <= row + 1; ++r)
    for (std::ptrdiff_t c = column - 1; c <= column + 1; ++c)
      if (r >= 0 && c >= 0 && r < static_cast<std::ptrdiff_t>(rows_) &&
          c < static_cast<std::ptrdiff_t>(columns_))
        squares.push_back(static_cast<std::size_t>(r) * columns_ + static_cast<std::size_t>(c));
  return squares;
}

// A square beside one that should be face but was not seen, or beside the grid's end, may hold the block's
// edge and its side.
void FaceCells::tell_full(const HalfDesign& design, const std::vector<bool>& face) {
  full_.cell_of_triangle.assign(seen_.size(), none);
  for (std::size_t s = 0; s < seen_.size(); ++s) {
    const std::vector<std::size_t> near = around(s);
    const bool full =
        seen_[s] && near.size() == 9 &&
        std::all_of(near.begin(), near.end(), [&](std::size_t n) { return seen_[n] || !face[n]; });
    if (!full) continue;
    full_.cell_of_triangle[s] = static_cast<std::uint32_t>(square_of_cell_.size());
    square_of_cell_.push_back(static_cast<std::uint32_t>(s));
    full_.area_mm2.push_back(side_mm_ * side_mm_);
    full_.centre_mm.push_back(design.parting().at_design_mm(centre_mm(s)));
  }
  for (const std::uint32_t s : square_of_cell_) {
    full_.neighbours.emplace_back();
    for (const std::size_t n : around(s))
      if (n != s && (n % columns_ == s % columns_ || n / columns_ == s / columns_) &&
          full_.cell_of_triangle[n] != none)
        full_.neighbours.back().push_back(full_.cell_of_triangle[n]);
  }
}

void FaceCells::measure_coverage(const std::vector<bool>& face) {
  std::vector<Vector2d> places;
  for (std::size_t s = 0; s < seen_.size(); ++s)
    if (seen_[s]) places.push_back(centre_mm(s));
  if (places.size() < 3) return;
  const std::vector<Vector2d> hull = convex_hull(places);
  double seen = 0, all = 0;
  for (std::size_t s = 0; s < seen_.size(); ++s) {
    if (!face[s] || !within(hull, centre_mm(s))) continue;
    ++all;
    seen += seen_[s];
  }
  coverage_fraction_ = all > 0 ? seen / all : 0;
}

}  // namespace boxfettle
