#include "reading/half_pose.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <optional>
#include <unordered_map>

#include "reading/flat_faces.hpp"
#include "reading/oriented_points.hpp"
#include "reading/pose_search.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;
using std::numbers::pi;

constexpr std::size_t judged_points = 20000, fewest_under = 100;
constexpr double under_face_mm = 1.5;  // nearer than this a point may be of the face itself
constexpr std::size_t faces_tried = 4, sides_fitted = 3, starts_fitted = 60;
constexpr double beyond_doubt = 0.8;  // of the points that can only be cavity: no other face need be tried

// A frame on a flat face: two axes in it, the third out of the tool.
struct FaceFrame {
  Vector3d origin_mm;
  Eigen::Matrix3d axes;  // columns; right-handed

  Vector3d local(const Vector3d& p) const { return axes.transpose() * (p - origin_mm); }
  Vector3d local_direction(const Vector3d& n) const { return axes.transpose() * n; }
};

FaceFrame frame_on(const Vector3d& origin_mm, const Vector3d& out) {
  FaceFrame frame{origin_mm, {}};
  frame.axes.col(2) = out;
  frame.axes.col(0) = out.unitOrthogonal();
  frame.axes.col(1) = out.cross(frame.axes.col(0));
  return frame;
}

// Points under the face with what a turn about its normal does not change: depth and steepness.
struct DeepPoint {
  Vector2d at_mm;
  double depth_mm;
  double steepness;    // of the normal: its part out of the tool
  double azimuth_rad;  // of the normal's other part
};

std::optional<DeepPoint> deep_point(const FaceFrame& frame, const Vector3d& at, const Vector3d& normal,
                                    double deepest_mm) {
  constexpr double nearly_flat = 0.92;  // such a normal has no steady azimuth
  const Vector3d p = frame.local(at), n = frame.local_direction(normal);
  if (-p.z() < under_face_mm || -p.z() > deepest_mm + under_face_mm || std::abs(n.z()) > nearly_flat)
    return std::nullopt;
  return DeepPoint{p.head<2>(), -p.z(), n.z(), std::atan2(n.y(), n.x())};
}

class TurnAndPlaceVotes {
 public:
  explicit TurnAndPlaceVotes(double place_mm) : place_mm_(place_mm) {}

  void add(double turn_rad, const Vector2d& place) {
    const double turn = turn_rad - 2 * pi * std::floor(turn_rad / (2 * pi));
    // Each vote falls into two neighbouring bins along each number: a peak is not cut in half by a border.
    for (int k = 0; k < 8; ++k) {
      const std::array<std::int64_t, 3> at{bin(turn / turn_bin, k & 1),
                                           bin(place.x() / place_mm_, k >> 1 & 1),
                                           bin(place.y() / place_mm_, k >> 2 & 1)};
      const auto turn_at = static_cast<std::uint64_t>(at[0]) % turn_bins;
      const std::uint64_t key = turn_at << 42 |
                                (static_cast<std::uint64_t>(at[1] + (1 << 20)) & 0x1fffff) << 21 |
                                (static_cast<std::uint64_t>(at[2] + (1 << 20)) & 0x1fffff);
      Bin& b = bins_[key];
      b.count += 1;
      b.direction += Vector2d(std::cos(turn), std::sin(turn));
      b.place += place;
    }
  }

  struct Peak {
    double votes, turn_rad;
    Vector2d place_mm;
  };
  std::vector<Peak> peaks(std::size_t most) const {
    std::vector<std::pair<std::uint64_t, Bin>> sorted(bins_.begin(), bins_.end());
    std::sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) {
      return a.second.count != b.second.count ? a.second.count > b.second.count : a.first < b.first;
    });
    std::vector<Peak> peaks;
    for (const auto& [key, b] : sorted) {
      const Peak p{b.count, std::atan2(b.direction.y(), b.direction.x()), b.place / b.count};
      const bool known = std::any_of(peaks.begin(), peaks.end(), [&](const Peak& other) {
        return (other.place_mm - p.place_mm).norm() < place_mm_ &&
               std::abs(std::remainder(other.turn_rad - p.turn_rad, 2 * pi)) < turn_bin;
      });
      if (!known) peaks.push_back(p);
      if (peaks.size() == most) break;
    }
    return peaks;
  }

 private:
  static constexpr std::uint64_t turn_bins = 60;
  static constexpr double turn_bin = 2 * pi / turn_bins;
  struct Bin {
    double count = 0;
    Vector2d direction = Vector2d::Zero(), place = Vector2d::Zero();
  };
  static std::int64_t bin(double at, int beside) {
    return static_cast<std::int64_t>(std::floor(at + 0.5 * beside)) * 2 + beside;
  }

  double place_mm_;
  std::unordered_map<std::uint64_t, Bin> bins_;
};

// One way in which a flat face may be the parting face: it, and the side the tool is on.
struct Side {
  FaceFrame scan;
  std::vector<RigidPose> starts;
  double votes = 0;  // of the best start
};

std::vector<DeepPoint> deep_points(const FaceFrame& frame, const std::vector<OrientedPoint>& points,
                                   double deepest_mm, bool both_signs) {
  std::vector<DeepPoint> deep;
  for (const OrientedPoint& p : points)
    for (const double sign : {1.0, -1.0}) {
      if (sign < 0 && !both_signs) continue;
      if (const auto d = deep_point(frame, p.at_mm, sign * p.normal, deepest_mm)) deep.push_back(*d);
    }
  return deep;
}

void vote(Side& side, const FaceFrame& design, const std::vector<DeepPoint>& on_design,
          const std::vector<OrientedPoint>& on_scan, double deepest_mm, double spacing_mm) {
  constexpr double as_steep = 0.12, as_deep_mm = 1.5;
  constexpr std::size_t voters = 1500;  // an odd step through them takes both signs of the normals
  const std::vector<DeepPoint> seen = deep_points(side.scan, on_scan, deepest_mm, true);
  if (seen.empty()) return;
  Vector2d middle = Vector2d::Zero();  // votes say where this goes: a turn a little off then moves it little
  for (const DeepPoint& s : seen) middle += s.at_mm / static_cast<double>(seen.size());
  TurnAndPlaceVotes votes(spacing_mm);
  const std::size_t step = (seen.size() / voters) | 1;
  for (std::size_t i = 0; i < seen.size(); i += step) {
    const DeepPoint& s = seen[i];
    const auto first = std::lower_bound(on_design.begin(), on_design.end(), s.depth_mm - as_deep_mm,
                                        [](const DeepPoint& d, double depth) { return d.depth_mm < depth; });
    for (auto d = first; d != on_design.end() && d->depth_mm < s.depth_mm + as_deep_mm; ++d) {
      if (std::abs(d->steepness - s.steepness) > as_steep) continue;
      const double turn = d->azimuth_rad - s.azimuth_rad;
      votes.add(turn, d->at_mm + Eigen::Rotation2Dd(turn) * (middle - s.at_mm));
    }
  }
  for (const TurnAndPlaceVotes::Peak& peak : votes.peaks(starts_fitted)) {
    Eigen::Matrix3d turn = Eigen::Matrix3d::Identity();
    turn.topLeftCorner<2, 2>() = Eigen::Rotation2Dd(peak.turn_rad).toRotationMatrix();
    const Vector3d shift(peak.place_mm.x(), peak.place_mm.y(), 0);
    RigidPose pose;
    pose.rotation = design.axes * turn * side.scan.axes.transpose();
    const Vector3d middle_in_scan = side.scan.origin_mm + side.scan.axes.leftCols<2>() * middle;
    pose.translation_mm = design.origin_mm + design.axes * shift - pose.rotation * middle_in_scan;
    side.starts.push_back(pose);
    side.votes = std::max(side.votes, peak.votes);
  }
}

PointCloud under_face(const PointCloud& cloud, const FaceFrame& frame, double deepest_mm) {
  PointCloud under;
  under.origin_mm = cloud.origin_mm;
  for (std::size_t i = 0; i < cloud.size(); ++i) {
    const double depth = -frame.local(cloud.point_mm(i)).z();
    if (depth > under_face_mm && depth < deepest_mm + 2 * under_face_mm)
      under.offsets_mm.push_back(cloud.offsets_mm[i]);
  }
  return under;
}

// How well a pose explains the scan: points on the cavity or on the face, against those that cannot be there.
struct Support {
  double share = 0;  // of all points: on the cavity or the face
  double cavity_fitting = 0;
};

Support support(const HalfDesign& design, const PointCloud& sample, const RigidPose& pose, double reach_mm) {
  double on_half = 0, in_shadow = 0, on_cavity = 0;
  const std::vector<SurfaceHit> hits = design.cavity().index().closest(sample, pose);
  for (std::size_t i = 0; i < hits.size(); ++i) {
    const Vector3d at = pose * sample.point_mm(i);
    const Vector2d p = design.parting().at_parting_mm(at);
    const double height = design.height_mm(at);
    if (!design.outline().inside(p)) {
      on_half += std::abs(height) < reach_mm;
    } else if (height < -under_face_mm) {
      ++in_shadow;
      on_cavity += std::abs(hits[i].signed_mm) < static_cast<float>(reach_mm);
    }
  }
  on_half += on_cavity;
  return {on_half / static_cast<double>(sample.size()), in_shadow > 0 ? on_cavity / in_shadow : 0};
}

std::vector<Side> voted_sides(const HalfDesign& design, const PointCloud& cloud) {
  const double spacing_mm = std::sqrt(design.cavity().area_mm2() / 700);
  const std::vector<OrientedPoint> on_scan = spread_over(cloud, spacing_mm);
  FaceFrame on_parting = frame_on(design.parting().point_mm, design.out_of_tool());
  std::vector<DeepPoint> on_design =
      deep_points(on_parting, spread_over(design.cavity(), spacing_mm), design.deepest_mm(), false);
  std::sort(on_design.begin(), on_design.end(),
            [](const DeepPoint& a, const DeepPoint& b) { return a.depth_mm < b.depth_mm; });
  std::vector<Side> sides;
  for (const FlatFace& face : flat_faces(on_scan, 0.5, faces_tried))
    for (const double sign : {1.0, -1.0}) {
      Side side{frame_on(face.centre_mm, sign * face.normal), {}};
      vote(side, on_parting, on_design, on_scan, design.deepest_mm(), spacing_mm);
      if (!side.starts.empty()) sides.push_back(std::move(side));
    }
  std::stable_sort(sides.begin(), sides.end(),
                   [](const Side& a, const Side& b) { return a.votes > b.votes; });
  if (sides.size() > sides_fitted) sides.resize(sides_fitted);
  return sides;
}

// The better of two by what it explains of the whole scan.
struct Judged {
  HalfPose pose;
  double share = -1;

  void offer(const PoseSearch& found, const HalfDesign& design, const PointCloud& sample) {
    const RigidPose& best = found.candidates.front().design_from_scan;
    const Support s = support(design, sample, best, found.reach_mm);
    if (s.share <= share) return;
    share = s.share;
    pose = {best, found.ambiguous, found.settled, {}, found.reach_mm, s.cavity_fitting, {}};
    for (std::size_t i = 1; found.ambiguous && i < found.candidates.size(); ++i)
      pose.alternatives.push_back(found.candidates[i].design_from_scan);
  }
};

}  // namespace

HalfPose find_half_pose(const HalfDesign& design, const PointCloud& cloud,
                        const std::optional<RigidPose>& rough) {
  Judged best;
  const PointCloud sample = fair_sample(cloud, judged_points);
  const std::vector<Side> sides = voted_sides(design, cloud);
  const NearSurfaceGrid grid = search_grid(design.cavity());
  // First by the votes of single points alone; where that leaves doubt, by pairs as well, which is slower.
  for (const bool by_pairs : {false, true})
    for (const Side& side : sides) {
      const PointCloud under = under_face(sample, side.scan, design.deepest_mm());
      if (under.size() < fewest_under) continue;
      best.offer(by_pairs ? search_pose(design.cavity(), under, rough)
                          : best_of(design.cavity(), grid, under, side.starts, rough),
                 design, sample);
      if (best.pose.cavity_fitting > beyond_doubt) return best.pose;
    }
  if (best.share < 0)
    best.pose.why_not =
        "No flat parting face with a cavity under it was found in the scan: see that the scan shows the "
        "half's parting "
        "face.";
  return best.pose;
}

}  // namespace boxfettle
