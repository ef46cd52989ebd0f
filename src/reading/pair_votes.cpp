#include "reading/pair_votes.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "geometry/quick_angle.hpp"

namespace boxfettle {
namespace {

constexpr int angle_steps = 15;           // 12 degrees a step
constexpr std::uint32_t turn_steps = 30;  // of the turn about a reference normal, 12 degrees a step
constexpr int distance_steps = 64;
constexpr std::size_t references = 64;  // scan points that vote; more only costs time
constexpr std::size_t partner_stride =
    2;  // of the scan's points every second is paired with them, for the same reason

// The frame that puts a point at the origin with its normal along x: what is left of a pair is a turn about
// x.
struct Frame {
  Eigen::Matrix3d rows;
  explicit Frame(const Eigen::Vector3d& normal) {
    const Eigen::Vector3d u = normal.unitOrthogonal();
    rows << normal.transpose(), u.transpose(), normal.cross(u).transpose();
  }
  // In steps, 0..turn_steps.
  float turn(const Eigen::Vector3d& offset) const {
    const float turn = quick_angle(static_cast<float>(rows.row(2).dot(offset)),
                                   static_cast<float>(rows.row(1).dot(offset))) *
                       (turn_steps / (2 * std::numbers::pi_v<float>));
    return turn < 0 ? turn + turn_steps : turn;
  }
};

// The step an angle falls in, by its cosine: an arc cosine for every pair took most of the search's time.
class AngleSteps {
 public:
  AngleSteps() {
    for (std::size_t i = 0; i < step_.size(); ++i) {
      const double cosine = (static_cast<double>(i) + 0.5) / half - 1;
      step_[i] = static_cast<std::uint8_t>(
          std::min(static_cast<int>(std::acos(cosine) / std::numbers::pi * angle_steps), angle_steps - 1));
    }
  }
  int of(double cosine) const {
    return step_[std::min(static_cast<std::size_t>(std::max((cosine + 1) * half, 0.0)), step_.size() - 1)];
  }

 private:
  static constexpr double half = 512;  // entries for the cosines of each sign: good to a twentieth of a step
  std::array<std::uint8_t, 2 * static_cast<std::size_t>(half)> step_;
};

int angle_step(const Eigen::Vector3d& a, const Eigen::Vector3d& b) {
  static const AngleSteps steps;
  return steps.of(a.dot(b));
}

// The four numbers no motion changes, as one key; empty when the points are too near or too far apart to tell
// much.
std::optional<std::uint32_t> pair_key(const OrientedPoint& first, const OrientedPoint& second,
                                      double step_mm) {
  const Eigen::Vector3d offset = second.at_mm - first.at_mm;
  const double distance = offset.norm();
  const int step = static_cast<int>(distance / step_mm);
  if (step < 2 || step >= distance_steps) return std::nullopt;
  const Eigen::Vector3d along = offset / distance;
  int key = step;
  for (const int part : {angle_step(first.normal, along), angle_step(second.normal, along),
                         angle_step(first.normal, second.normal)})
    key = key * angle_steps + part;
  return static_cast<std::uint32_t>(key);
}

struct DesignPair {
  std::uint32_t row;    // of votes: the design point's number times turn_steps
  float turn_in_steps;  // 0..turn_steps
};

// All pairs of the design, grouped by key.
class PairTable {
 public:
  PairTable(std::span<const OrientedPoint> points, double step_mm) {
    for (const OrientedPoint& p : points) frames_.emplace_back(p.normal);
    const std::size_t keys = distance_steps * angle_steps * angle_steps * angle_steps;
    std::vector<std::vector<std::pair<std::uint32_t, DesignPair>>> found(points.size());
    tbb::parallel_for(std::size_t{0}, points.size(), [&](std::size_t i) {
      for (const OrientedPoint& other : points)
        if (const auto key = pair_key(points[i], other, step_mm))
          found[i].push_back(
              {*key,
               {static_cast<std::uint32_t>(i) * turn_steps, frames_[i].turn(other.at_mm - points[i].at_mm)}});
    });
    first_.assign(keys + 1, 0);
    for (const auto& list : found)
      for (const auto& [key, pair] : list) ++first_[key + 1];
    for (std::size_t k = 0; k < keys; ++k) first_[k + 1] += first_[k];
    pairs_.resize(first_.back());
    std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
    for (const auto& list : found)
      for (const auto& [key, pair] : list) pairs_[next[key]++] = pair;
  }

  std::span<const DesignPair> alike(std::uint32_t key) const {
    return {pairs_.data() + first_[key], first_[key + 1] - first_[key]};
  }
  const Frame& frame(std::size_t point) const { return frames_[point]; }

 private:
  std::vector<Frame> frames_;
  std::vector<std::uint32_t> first_;
  std::vector<DesignPair> pairs_;
};

RigidPose pose_of(const OrientedPoint& design, const Frame& design_frame, const OrientedPoint& scan,
                  const Frame& scan_frame, double turn) {
  const Eigen::Matrix3d about_normal = Eigen::AngleAxisd(turn, Eigen::Vector3d::UnitX()).toRotationMatrix();
  const Eigen::Matrix3d rotation = design_frame.rows.transpose() * about_normal * scan_frame.rows;
  return {rotation, design.at_mm - rotation * scan.at_mm};
}

// One scan point, its normal taken with one sign, against the whole design: the few best poses.
std::vector<VotedPose> poses_from(const OrientedPoint& reference, std::span<const OrientedPoint> design,
                                  std::span<const OrientedPoint> scan, const PairTable& table,
                                  double step_mm) {
  const Frame frame(reference.normal);
  std::vector<std::uint32_t> votes(design.size() * turn_steps, 0);
  constexpr double step = 2 * std::numbers::pi / turn_steps;
  for (std::size_t i = 0; i < scan.size(); i += partner_stride)
    for (const double sign : {1.0, -1.0}) {
      const OrientedPoint& partner = scan[i];
      const auto key = pair_key(reference, {partner.at_mm, sign * partner.normal}, step_mm);
      if (!key) continue;
      const float scan_turn = frame.turn(partner.at_mm - reference.at_mm);
      for (const DesignPair& pair : table.alike(*key)) {
        const float turn = pair.turn_in_steps - scan_turn + turn_steps;  // 0..2 turn_steps
        ++votes[pair.row + static_cast<std::uint32_t>(turn) % turn_steps];
      }
    }
  constexpr std::size_t kept = 3;
  std::vector<VotedPose> best;
  for (std::size_t k = 0; k < kept; ++k) {
    const auto top = std::max_element(votes.begin(), votes.end());
    if (top == votes.end() || *top == 0) break;
    const auto place = static_cast<std::size_t>(top - votes.begin());
    const std::size_t at = place / turn_steps;
    const double turn = (static_cast<double>(place % turn_steps) + 0.5) * step;
    best.push_back({pose_of(design[at], table.frame(at), reference, frame, turn), static_cast<double>(*top)});
    *top = 0;
  }
  return best;
}

bool near(const RigidPose& a, const RigidPose& b, const Eigen::Vector3d& scan_centre, double spacing_mm) {
  constexpr double near_rad = 15 * std::numbers::pi / 180;
  return (a * scan_centre - b * scan_centre).norm() < 1.5 * spacing_mm &&
         rotation_vector(a.rotation * b.rotation.transpose()).norm() < near_rad;
}

// Votes of poses that agree add up; the best-voted of each group stands for it.
std::vector<VotedPose> merged(std::vector<VotedPose> poses, const Eigen::Vector3d& scan_centre,
                              double spacing_mm, std::size_t most) {
  const auto by_votes = [](const VotedPose& a, const VotedPose& b) { return a.votes > b.votes; };
  std::stable_sort(poses.begin(), poses.end(), by_votes);
  std::vector<VotedPose> groups;
  for (const VotedPose& pose : poses) {
    const auto group = std::find_if(groups.begin(), groups.end(), [&](const VotedPose& g) {
      return near(g.design_from_scan, pose.design_from_scan, scan_centre, spacing_mm);
    });
    if (group == groups.end())
      groups.push_back(pose);
    else
      group->votes += pose.votes;
  }
  std::stable_sort(groups.begin(), groups.end(), by_votes);
  if (groups.size() > most) groups.resize(most);
  return groups;
}

}  // namespace

std::vector<VotedPose> vote_poses(std::span<const OrientedPoint> design, std::span<const OrientedPoint> scan,
                                  double spacing_mm, std::size_t most) {
  const double step_mm = spacing_mm;
  const PairTable table(design, step_mm);
  const std::size_t stride = std::max<std::size_t>(scan.size() / references, 1);
  const std::size_t voters = (scan.size() + stride - 1) / stride;
  std::vector<std::vector<VotedPose>> found(2 * voters);
  tbb::parallel_for(std::size_t{0}, found.size(), [&](std::size_t i) {
    OrientedPoint reference = scan[i / 2 * stride];
    if (i % 2 == 1) reference.normal = -reference.normal;
    found[i] = poses_from(reference, design, scan, table, step_mm);
  });
  std::vector<VotedPose> all;
  for (const auto& list : found) all.insert(all.end(), list.begin(), list.end());
  Eigen::Vector3d centre = Eigen::Vector3d::Zero();
  for (const OrientedPoint& p : scan) centre += p.at_mm / static_cast<double>(scan.size());
  return merged(std::move(all), centre, spacing_mm, most);
}

}  // namespace boxfettle
