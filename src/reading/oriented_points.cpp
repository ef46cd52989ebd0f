#include "reading/oriented_points.hpp"

#include <tbb/parallel_for.h>

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <optional>
#include <random>
#include <unordered_set>

#include "geometry/vector_sort.hpp"

namespace boxfettle {
namespace {

using Cell = std::uint64_t;

// Cells are numbered from the low corner of the bounds: 20 bits a side, enough for a metre in thousandths of
// a mm.
Cell cell_of(const Eigen::Vector3d& offset, double side_mm) {
  const auto at = [&](Eigen::Index k) { return static_cast<Cell>(offset[k] / side_mm) & 0xfffffu; };
  return at(0) << 40 | at(1) << 20 | at(2);
}

// 0..5: the axis and side a normal points to most. Keeps the two faces of a thin wall apart.
Cell facing(const Eigen::Vector3d& normal) {
  Eigen::Index axis = 0;
  normal.cwiseAbs().maxCoeff(&axis);
  return static_cast<Cell>(2 * axis + (normal[axis] < 0));
}

// A cloud's points by cubes, to find those near a place.
class Neighbourhood {
 public:
  // Up to a million points.
  Neighbourhood(const std::vector<Eigen::Vector3d>& points, double side_mm)
      : points_(points), side_mm_(side_mm) {
    low_ = Eigen::Vector3d::Constant(1e300);
    for (const Eigen::Vector3d& p : points_) low_ = low_.cwiseMin(p);
    low_.array() -= 2 * side_mm;
    keys_.reserve(points_.size());
    for (std::uint64_t i = 0; i < points_.size(); ++i) keys_.push_back(first_key(points_[i]) | i);
    sort_ascending(keys_);
  }

  template <typename Visit>
  void within(const Eigen::Vector3d& centre, double radius_mm, const Visit& visit) const {
    for (int x = -1; x <= 1; ++x)
      for (int y = -1; y <= 1; ++y)
        for (int z = -1; z <= 1; ++z) {
          const std::uint64_t near = first_key(centre + side_mm_ * Eigen::Vector3d(x, y, z));
          for (auto at = std::lower_bound(keys_.begin(), keys_.end(), near);
               at != keys_.end() && (*at & ~numbers) == near; ++at) {
            const Eigen::Vector3d& p = points_[*at & numbers];
            if ((p - centre).squaredNorm() <= radius_mm * radius_mm) visit(p);
          }
        }
  }

 private:
  static constexpr int number_bits = 20, axis_bits = 14;  // three axes and a number fill 62 bits
  static constexpr std::uint64_t numbers = (std::uint64_t{1} << number_bits) - 1;

  // Of the cube about a place: cubes 16384 apart share a key, which costs a look at points that are too far.
  std::uint64_t first_key(const Eigen::Vector3d& p) const {
    std::uint64_t key = 0;
    for (Eigen::Index k = 0; k < 3; ++k)
      key = key << axis_bits |
            (static_cast<std::uint64_t>((p[k] - low_[k]) / side_mm_) & ((std::uint64_t{1} << axis_bits) - 1));
    return key << number_bits;
  }

  const std::vector<Eigen::Vector3d>& points_;
  double side_mm_;
  Eigen::Vector3d low_;
  std::vector<std::uint64_t> keys_;
};

// Empty when too few points are near or they do not lie in a sheet.
std::optional<Eigen::Vector3d> sheet_normal(const Neighbourhood& cloud, const Eigen::Vector3d& at,
                                            double radius_mm) {
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  Eigen::Matrix3d squares = Eigen::Matrix3d::Zero();
  double count = 0;
  cloud.within(at, radius_mm, [&](const Eigen::Vector3d& p) {
    const Eigen::Vector3d offset = p - at;
    sum += offset;
    squares += offset * offset.transpose();
    ++count;
  });
  if (count < 8) return std::nullopt;
  const Eigen::Matrix3d spread = squares / count - (sum / count) * (sum / count).transpose();
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> axes(spread);
  const Eigen::Vector3d lambda = axes.eigenvalues();
  constexpr double thickest_sheet =
      0.04;  // share of the scatter across it; a right-angled edge has about 0.15
  if (lambda[0] > thickest_sheet * lambda.sum() || lambda[1] < 0.1 * lambda[2]) return std::nullopt;
  return axes.eigenvectors().col(0);
}

}  // namespace

std::vector<OrientedPoint> spread_over(const DesignSurface& design, double spacing_mm) {
  const TriangleMesh& mesh = design.mesh();
  std::vector<double> up_to(mesh.triangles.size());
  double total = 0;
  for (std::size_t t = 0; t < up_to.size(); ++t) up_to[t] = total += double{design.triangle_area_mm2()[t]};
  // Enough throws that a cube crossed by a full sheet is missed less than once in a thousand.
  const auto throws = static_cast<std::size_t>(7 * total / (spacing_mm * spacing_mm)) + 100;
  std::mt19937_64 random(20260131);
  const auto unit = [&] { return static_cast<double>(random() >> 11) * 0x1p-53; };
  std::unordered_set<Cell> taken;
  std::vector<OrientedPoint> points;
  for (std::size_t i = 0; i < throws; ++i) {
    const auto at = std::upper_bound(up_to.begin(), up_to.end(), unit() * total);
    const auto t = static_cast<std::size_t>(std::min(at, up_to.end() - 1) - up_to.begin());
    const double r = std::sqrt(unit()), s = unit();
    const Eigen::Vector3d p =
        (1 - r) * mesh.corner(t, 0) + r * (1 - s) * mesh.corner(t, 1) + r * s * mesh.corner(t, 2);
    const Eigen::Vector3d normal = doubled_area_vector(mesh, t).normalized();
    if (taken.insert(cell_of(p - design.bounds().low, spacing_mm) << 3 | facing(normal)).second)
      points.push_back({p, normal});
  }
  return points;
}

std::vector<OrientedPoint> spread_over(const PointCloud& cloud, double spacing_mm) {
  constexpr std::size_t neighbours_from = 150000;  // keeps some 40 points in reach on the cores this is for
  const PointCloud sampled = fair_sample(cloud, neighbours_from);
  std::vector<Eigen::Vector3d> sample(sampled.size());
  for (std::size_t i = 0; i < sample.size(); ++i) sample[i] = sampled.point_mm(i);
  const double radius_mm = 0.4 * spacing_mm;
  const Neighbourhood near(sample, radius_mm);
  Eigen::Vector3d low = Eigen::Vector3d::Constant(1e300);
  for (const Eigen::Vector3d& p : sample) low = low.cwiseMin(p);

  std::unordered_set<Cell> taken;
  std::vector<Eigen::Vector3d> chosen;
  for (const Eigen::Vector3d& p : sample)
    if (taken.insert(cell_of(p - low, spacing_mm)).second) chosen.push_back(p);
  std::vector<std::optional<Eigen::Vector3d>> normals(chosen.size());
  tbb::parallel_for(std::size_t{0}, chosen.size(),
                    [&](std::size_t i) { normals[i] = sheet_normal(near, chosen[i], radius_mm); });
  std::vector<OrientedPoint> points;
  for (std::size_t i = 0; i < chosen.size(); ++i)
    if (normals[i]) points.push_back({chosen[i], *normals[i]});
  return points;
}

PointCloud fair_sample(const PointCloud& cloud, std::size_t count) {
  if (cloud.size() <= count) return cloud;
  PointCloud sample;
  sample.origin_mm = cloud.origin_mm;
  sample.offsets_mm.reserve(count);
  const double step = static_cast<double>(cloud.size()) / static_cast<double>(count);
  for (std::size_t i = 0; i < count; ++i)
    sample.offsets_mm.push_back(
        cloud.offsets_mm[static_cast<std::size_t>((static_cast<double>(i) + 0.5) * step)]);
  return sample;
}

std::vector<std::uint32_t> fair_runs(std::size_t points, std::size_t count) {
  constexpr std::size_t places = 2500, shortest = 8, longest = 48;
  const std::size_t run = std::clamp(count / places, shortest, longest);
  const double step =
      static_cast<double>(run) *
      std::max(1.0, static_cast<double>(points) / static_cast<double>(std::max<std::size_t>(count, 1)));
  std::vector<std::uint32_t> chosen;
  chosen.reserve(std::min(points, count + run));
  for (double at = 0; at < static_cast<double>(points); at += step)
    for (std::size_t i = static_cast<std::size_t>(at);
         i < std::min(static_cast<std::size_t>(at) + run, points); ++i)
      chosen.push_back(static_cast<std::uint32_t>(i));
  return chosen;
}

PointCloud points_at(const PointCloud& cloud, std::span<const std::uint32_t> places) {
  PointCloud chosen;
  chosen.origin_mm = cloud.origin_mm;
  for (const std::uint32_t i : places) chosen.offsets_mm.push_back(cloud.offsets_mm[i]);
  return chosen;
}

}  // namespace boxfettle
