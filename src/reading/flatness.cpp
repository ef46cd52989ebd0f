#include "reading/flatness.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <utility>

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using Four = std::array<std::uint32_t, 4>;

Vector2d middle_of(std::span<const FacePoint> points) {
  Vector2d sum = Vector2d::Zero();
  for (const FacePoint& p : points) sum += p.at_mm;
  return sum / static_cast<double>(points.size());
}

// A number in (-1, 1) that looks random and is the same every time.
double shaken(std::uint64_t i) {
  i = (i + 0x9e3779b97f4a7c15u) * 0xbf58476d1ce4e5b9u;
  i = (i ^ (i >> 29)) * 0x94d049bb133111ebu;
  return static_cast<double>((i ^ (i >> 32)) >> 11) * 0x1p-52 - 1;
}

// The slab for four points: with weights w that sum to zero over (1, x, y), its height is |w . z| * 2 / sum
// |w|.
struct Slab {
  double width = 0;
  std::array<double, 4> share = {0, 0, 0, 0};
};

std::optional<Slab> slab_of(std::span<const FacePoint> points, const Four& four) {
  const auto at = [&](std::size_t i) { return points[four[i]].at_mm; };
  std::array<double, 4> w{};
  double size = 0;
  for (std::size_t drop = 0; drop < 4; ++drop) {
    const Vector2d a = at((drop + 1) % 4), b = at((drop + 2) % 4), c = at((drop + 3) % 4);
    const double doubled_area = (b - a).x() * (c - a).y() - (b - a).y() * (c - a).x();
    w[drop] = drop % 2 == 0 ? doubled_area : -doubled_area;
    size += std::abs(w[drop]);
  }
  if (!(size > 0)) return std::nullopt;
  Slab slab;
  for (std::size_t i = 0; i < 4; ++i) slab.width += w[i] * 2 / size * points[four[i]].height_mm;
  const double sign = slab.width < 0 ? -1 : 1;
  for (std::size_t i = 0; i < 4; ++i) slab.share[i] = sign * w[i] * 2 / size;
  slab.width *= sign;
  return slab;
}

// The slab's middle plane: the points with a positive share touch its top, the others its bottom.
SlopedPlane middle_plane(std::span<const FacePoint> points, const Four& four, const Slab& slab) {
  Eigen::Matrix<double, 4, 3> left;
  Eigen::Vector4d right;
  for (int i = 0; i < 4; ++i) {
    const FacePoint& p = points[four[static_cast<std::size_t>(i)]];
    left.row(i) << 1, p.at_mm.x(), p.at_mm.y();
    right[i] = p.height_mm - (slab.share[static_cast<std::size_t>(i)] > 0 ? 0.5 : -0.5) * slab.width;
  }
  const Eigen::Vector3d plane = left.colPivHouseholderQr().solve(right);
  return {plane[0], {plane[1], plane[2]}};
}

// Four that are far apart and not in one line; empty when there are none.
std::optional<Four> far_apart(std::span<const FacePoint> points) {
  const auto furthest = [&](const auto& measure) {
    std::uint32_t best = 0;
    for (std::uint32_t i = 1; i < points.size(); ++i)
      if (measure(points[i].at_mm) > measure(points[best].at_mm)) best = i;
    return best;
  };
  const Vector2d start = points[0].at_mm;
  const std::uint32_t a = furthest([&](const Vector2d& p) { return (p - start).norm(); });
  const Vector2d from = points[a].at_mm;
  const std::uint32_t b = furthest([&](const Vector2d& p) { return (p - from).norm(); });
  const Vector2d along = points[b].at_mm - from;
  const auto across = [&](const Vector2d& p) {
    return along.x() * (p - from).y() - along.y() * (p - from).x();
  };
  const std::uint32_t c = furthest([&](const Vector2d& p) { return std::abs(across(p)); });
  if (!(std::abs(across(points[c].at_mm)) > 1e-9 * along.squaredNorm())) return std::nullopt;
  for (std::uint32_t d = 0; d < points.size(); ++d)
    if (d != a && d != b && d != c) return Four{a, b, c, d};
  return std::nullopt;
}

// Levelled about their own plane and of size one, shaken by a billionth: no three then lie in a line and no
// five touch at once, so that every exchange gains.
std::vector<FacePoint> levelled(std::span<const FacePoint> points, const SlopedPlane& plane,
                                const Vector2d& middle, double reach_mm) {
  constexpr double shake = 1e-9;
  double tallest = 1e-300;
  for (const FacePoint& p : points) tallest = std::max(tallest, std::abs(p.height_mm - plane.at(p.at_mm)));
  std::vector<FacePoint> level(points.size());
  for (std::size_t i = 0; i < points.size(); ++i)
    level[i] = {(points[i].at_mm - middle) / reach_mm + shake * Vector2d(shaken(3 * i), shaken(3 * i + 1)),
                points[i].height_mm - plane.at(points[i].at_mm) + shake * tallest * shaken(3 * i + 2)};
  return level;
}

struct Exchange {
  Four four;
  Slab slab;
};

// The best four of five; empty when none needs more room than `now`.
std::optional<Exchange> taken_in(std::span<const FacePoint> points, const Exchange& now,
                                 std::uint32_t newcomer) {
  std::optional<Exchange> best;
  double most = now.slab.width;
  for (std::size_t drop = 0; drop < 4; ++drop) {
    Four four = now.four;
    four[drop] = newcomer;
    const std::optional<Slab> slab = slab_of(points, four);
    if (!slab || slab->width <= most) continue;
    most = slab->width;
    best = Exchange{four, *slab};
  }
  return best;
}

Exchange narrowest(std::span<const FacePoint> points, const Four& start) {
  Exchange now{start, slab_of(points, start).value_or(Slab{})};
  for (int step = 0; step < 10000; ++step) {
    const SlopedPlane middle = middle_plane(points, now.four, now.slab);
    std::uint32_t worst = 0;
    double most = -1;
    for (std::uint32_t i = 0; i < points.size(); ++i) {
      const double off = std::abs(points[i].height_mm - middle.at(points[i].at_mm));
      if (off > most) {
        most = off;
        worst = i;
      }
    }
    if (most <= 0.5 * now.slab.width * (1 + 1e-12)) break;
    const std::optional<Exchange> next = taken_in(points, now, worst);
    if (!next) break;
    now = *next;
  }
  return now;
}

}  // namespace

SlopedPlane least_squares_plane(std::span<const FacePoint> points) {
  const Vector2d middle = middle_of(points);
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  for (const FacePoint& p : points) {
    const Eigen::Vector3d t(1, p.at_mm.x() - middle.x(), p.at_mm.y() - middle.y());
    normal += t * t.transpose();
    right += p.height_mm * t;
  }
  const Eigen::Vector3d plane = normal.ldlt().solve(right);
  const Vector2d slope(plane[1], plane[2]);
  return {plane[0] - slope.dot(middle), slope};
}

PlaneDoubt plane_doubt(std::span<const FacePoint> off_form, const Vector2d& at_mm) {
  constexpr std::size_t enough_blocks = 24, fitted = 3;
  const auto gradient = [&](const FacePoint& p) {
    return Eigen::Vector3d(1, p.at_mm.x() - at_mm.x(), p.at_mm.y() - at_mm.y());
  };
  Eigen::Matrix3d bread = Eigen::Matrix3d::Zero();
  for (const FacePoint& p : off_form) bread += gradient(p) * gradient(p).transpose();
  const Eigen::Matrix3d inverse = bread.inverse();
  Eigen::Vector3d variance = Eigen::Vector3d::Zero();
  for (const double block_mm : {12.0, 24.0, 48.0}) {
    std::map<std::pair<long, long>, Eigen::Vector3d> pulls;
    for (const FacePoint& p : off_form) {
      const std::pair block{std::lround(p.at_mm.x() / block_mm), std::lround(p.at_mm.y() / block_mm)};
      pulls.try_emplace(block, Eigen::Vector3d::Zero()).first->second += p.height_mm * gradient(p);
    }
    if (variance[0] > 0 && pulls.size() < enough_blocks) break;
    Eigen::Matrix3d meat = Eigen::Matrix3d::Zero();
    for (const auto& [block, pull] : pulls) meat += pull * pull.transpose();
    const auto blocks = static_cast<double>(pulls.size());
    if (pulls.size() > fitted) meat *= blocks / (blocks - fitted);  // the usual small-sample correction
    variance = variance.cwiseMax((inverse * meat * inverse).diagonal());
  }
  return {std::sqrt(variance[0]), variance.tail<2>().cwiseSqrt()};
}

double peak_to_valley_mm(std::span<const FacePoint> points, const SlopedPlane& plane) {
  double low = 1e300, high = -1e300;
  for (const FacePoint& p : points) {
    const double off = p.height_mm - plane.at(p.at_mm);
    low = std::min(low, off);
    high = std::max(high, off);
  }
  return points.empty() ? 0 : (high - low) / std::sqrt(1 + plane.slope.squaredNorm());
}

MinimumZone minimum_zone(std::span<const FacePoint> points) {
  MinimumZone zone;
  if (points.size() < 4) return zone;
  const Vector2d middle = middle_of(points);
  double reach_mm = 1e-300;
  for (const FacePoint& p : points) reach_mm = std::max(reach_mm, (p.at_mm - middle).norm());
  const std::optional<Four> start = far_apart(points);
  if (!start) return zone;
  const SlopedPlane rough = least_squares_plane(points);
  const std::vector<FacePoint> level = levelled(points, rough, middle, reach_mm);
  const Exchange found = narrowest(level, *start);
  const SlopedPlane over = middle_plane(level, found.four, found.slab);
  zone.middle.slope = rough.slope + over.slope / reach_mm;
  zone.middle.height_mm = rough.height_mm + over.height_mm - over.slope.dot(middle) / reach_mm;
  zone.slant = 1 / std::sqrt(1 + zone.middle.slope.squaredNorm());
  zone.width_mm = peak_to_valley_mm(points, zone.middle);
  zone.touching = found.four;
  zone.share = found.slab.share;
  return zone;
}

}  // namespace boxfettle
