#include "reading/pair_votes.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <numeric>
#include <optional>

#include "geometry/quick_angle.hpp"

namespace boxfettle {
namespace {

constexpr std::uint32_t angle_steps = 15;  // 12 degrees a step
constexpr std::uint32_t turn_steps = 30;   // of the turn about a reference normal, 12 degrees a step
constexpr std::uint32_t distance_steps = 64;
constexpr std::size_t references = 64;  // scan points that vote; more only costs time
constexpr std::size_t partner_stride =
    2;  // of the scan's points every second is paired with them, for the same reason

// A pair like a thousand others tells little and would take most of the time: of so many, an even share
// votes.
constexpr std::size_t most_alike = 128;

// The frame that puts a point at the origin with its normal along x: what is left of a pair is a turn about
// x.
struct Frame {
  Eigen::Matrix3f rows;
  explicit Frame(const Eigen::Vector3f& normal) {
    const Eigen::Vector3f u = normal.unitOrthogonal();
    rows << normal.transpose(), u.transpose(), normal.cross(u).transpose();
  }
  // Counted so that the whole turn is 2^16: sums and differences of turns then wrap round by themselves.
  std::uint16_t turn(const Eigen::Vector3f& offset) const {
    constexpr float whole = 65536;
    const float angle = quick_angle(rows.row(2).dot(offset), rows.row(1).dot(offset));
    return static_cast<std::uint16_t>(
        static_cast<std::int32_t>(angle * (whole / (2 * std::numbers::pi_v<float>)) + whole));
  }
};

// The step an angle falls in, by its cosine: an arc cosine for every pair took most of the search's time.
class AngleSteps {
 public:
  AngleSteps() {
    for (std::size_t i = 0; i < step_.size(); ++i) {
      const double cosine = (static_cast<double>(i) + 0.5) / half - 1;
      step_[i] = static_cast<std::uint8_t>(std::min(
          static_cast<std::uint32_t>(std::acos(cosine) / std::numbers::pi * angle_steps), angle_steps - 1));
    }
  }
  std::uint32_t of(float cosine) const {
    const float place = std::clamp((cosine + 1) * half, 0.0f, 2 * half - 1);
    return step_[static_cast<std::size_t>(place)];
  }

 private:
  static constexpr float half = 512;  // entries for the cosines of each sign: good to a twentieth of a step
  std::array<std::uint8_t, 2 * static_cast<std::size_t>(half)> step_;
};

struct Oriented {
  Eigen::Vector3f at_mm, normal;
};

std::vector<Oriented> in_float(std::span<const OrientedPoint> points, const Eigen::Vector3d& origin_mm) {
  std::vector<Oriented> all;
  for (const OrientedPoint& p : points)
    all.push_back({(p.at_mm - origin_mm).cast<float>(), p.normal.cast<float>()});
  return all;
}

// The four numbers of a pair that no motion changes: its distance in steps and three cosines.
struct PairLook {
  std::uint32_t distance;
  float first, second, between;  // of the normals with the way from first to second, and with each other

  std::uint32_t key() const {
    static const AngleSteps steps;
    return ((distance * angle_steps + steps.of(first)) * angle_steps + steps.of(second)) * angle_steps +
           steps.of(between);
  }
  PairLook seen_from_second() const { return {distance, -second, -first, between}; }
  PairLook with_second_turned() const { return {distance, first, -second, -between}; }
};

// Empty when the points are too near or too far apart to tell much.
std::optional<PairLook> look_at(const Oriented& first, const Oriented& second, float per_step) {
  const Eigen::Vector3f offset = second.at_mm - first.at_mm;
  const float distance = offset.norm();
  const float steps = distance * per_step;
  if (!(steps >= 2 && steps < distance_steps)) return std::nullopt;
  const float inverse = 1 / distance;
  return PairLook{static_cast<std::uint32_t>(steps), inverse * first.normal.dot(offset),
                  inverse * second.normal.dot(offset), first.normal.dot(second.normal)};
}

// The first point's number and, below it, the turn about its normal to the second.
using DesignPair = std::uint32_t;
constexpr std::size_t most_points = 65535;  // so that a number has room there

// All pairs of the design, grouped by key.
class PairTable {
 public:
  PairTable(const std::vector<Oriented>& points, float per_step) {
    for (const Oriented& p : points) frames_.emplace_back(p.normal);
    const std::size_t count = points.size();
    std::vector<std::uint32_t> key(count * count, no_key);
    std::vector<DesignPair> pair(count * count);
    constexpr std::size_t block = 16;  // of first points, so that what is put lies side by side
    tbb::parallel_for(std::size_t{0}, (count + block - 1) / block, [&](std::size_t b) {
      const auto put = [&](std::size_t from, std::size_t to, const PairLook& look) {
        key[from * count + to] = look.key();
        pair[from * count + to] =
            static_cast<DesignPair>(from) << 16 | frames_[from].turn(points[to].at_mm - points[from].at_mm);
      };
      for (std::size_t j = b * block + 1; j < count; ++j)
        for (std::size_t i = b * block; i < std::min((b + 1) * block, j); ++i)
          if (const auto look = look_at(points[i], points[j], per_step)) {
            put(i, j, *look);
            put(j, i, look->seen_from_second());
          }
    });
    group(key, pair);
  }

  std::span<const DesignPair> alike(std::uint32_t key) const {
    return {pairs_.data() + first_[key], first_[key + 1] - first_[key]};
  }
  const Frame& frame(std::size_t point) const { return frames_[point]; }

 private:
  static constexpr std::uint32_t no_key = ~std::uint32_t{0};

  void group(const std::vector<std::uint32_t>& key, const std::vector<DesignPair>& pair) {
    first_.assign(distance_steps * angle_steps * angle_steps * angle_steps + 1, 0);
    for (const std::uint32_t k : key)
      if (k != no_key) ++first_[k + 1];
    std::partial_sum(first_.begin(), first_.end(), first_.begin());
    pairs_.resize(first_.back());
    std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
    for (std::size_t i = 0; i < key.size(); ++i)
      if (key[i] != no_key) pairs_[next[key[i]]++] = pair[i];
  }

  std::vector<Frame> frames_;
  std::vector<std::uint32_t> first_;
  std::vector<DesignPair> pairs_;
};

RigidPose pose_of(const Oriented& design, const Frame& design_frame, const Oriented& scan,
                  const Frame& scan_frame, double turn) {
  const Eigen::Matrix3d about_normal = Eigen::AngleAxisd(turn, Eigen::Vector3d::UnitX()).toRotationMatrix();
  const auto exact =
      [](const Frame& frame) -> Eigen::Matrix3d {  // its rows are at right angles to float only
    return Eigen::Quaterniond(frame.rows.cast<double>()).normalized().toRotationMatrix();
  };
  const Eigen::Matrix3d rotation = exact(design_frame).transpose() * about_normal * exact(scan_frame);
  return {rotation, design.at_mm.cast<double>() - rotation * scan.at_mm.cast<double>()};
}

// The three places with most votes, most first; fewer where there are no more.
std::vector<std::size_t> most_voted(const std::vector<std::uint32_t>& votes) {
  constexpr std::size_t kept = 3;
  std::vector<std::size_t> best;
  std::uint32_t too_few = 0;
  for (std::size_t place = 0; place < votes.size(); ++place) {
    if (votes[place] <= too_few) continue;
    if (best.size() == kept) best.pop_back();
    const auto behind = std::find_if(best.begin(), best.end(),
                                     [&](std::size_t other) { return votes[other] < votes[place]; });
    best.insert(behind, place);
    if (best.size() == kept) too_few = votes[best.back()];
  }
  return best;
}

// One scan point, its normal taken with one sign, against the whole design: the few best poses.
std::vector<VotedPose> poses_from(const Oriented& reference, const std::vector<Oriented>& design,
                                  const std::vector<Oriented>& scan, const PairTable& table, float per_step) {
  const Frame frame(reference.normal);
  std::vector<std::uint32_t> votes(design.size() * turn_steps, 0);
  for (std::size_t i = 0; i < scan.size(); i += partner_stride) {
    const auto look = look_at(reference, scan[i], per_step);
    if (!look) continue;
    const std::uint16_t scan_turn = frame.turn(scan[i].at_mm - reference.at_mm);
    for (const PairLook& seen : {*look, look->with_second_turned()}) {
      const std::span<const DesignPair> alike = table.alike(seen.key());
      const std::size_t stride = (alike.size() + most_alike - 1) / most_alike;
      for (std::size_t k = stride > 1 ? i % stride : 0; k < alike.size(); k += stride) {
        const std::uint32_t turn = static_cast<std::uint16_t>(alike[k] - scan_turn);
        ++votes[(alike[k] >> 16) * turn_steps + (turn * turn_steps >> 16)];
      }
    }
  }
  const auto pose_at = [&](std::size_t place) {
    const std::size_t at = place / turn_steps;
    const double turn = (static_cast<double>(place % turn_steps) + 0.5) * (2 * std::numbers::pi / turn_steps);
    return pose_of(design[at], table.frame(at), reference, frame, turn);
  };
  std::vector<VotedPose> best;
  for (const std::size_t place : most_voted(votes))
    best.push_back({pose_at(place), static_cast<double>(votes[place])});
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

std::vector<VotedPose> vote_poses(std::span<const OrientedPoint> design_points,
                                  std::span<const OrientedPoint> scan_points, double spacing_mm,
                                  std::size_t most) {
  if (design_points.empty() || scan_points.empty()) return {};
  // Floats lose nothing of use when they count from the middle of things.
  const Eigen::Vector3d design_origin = design_points.front().at_mm, scan_origin = scan_points.front().at_mm;
  const std::vector<Oriented> design =
      in_float(design_points.first(std::min(design_points.size(), most_points)), design_origin);
  const std::vector<Oriented> scan = in_float(scan_points, scan_origin);
  const auto per_step = static_cast<float>(1 / spacing_mm);
  const PairTable table(design, per_step);
  const std::size_t stride = std::max<std::size_t>(scan.size() / references, 1);
  const std::size_t voters = (scan.size() + stride - 1) / stride;
  std::vector<std::vector<VotedPose>> found(2 * voters);
  tbb::parallel_for(std::size_t{0}, found.size(), [&](std::size_t i) {
    Oriented reference = scan[i / 2 * stride];
    if (i % 2 == 1) reference.normal = -reference.normal;
    found[i] = poses_from(reference, design, scan, table, per_step);
  });
  const RigidPose to_origin{Eigen::Matrix3d::Identity(), -scan_origin};
  const RigidPose from_origin{Eigen::Matrix3d::Identity(), design_origin};
  std::vector<VotedPose> all;
  for (const auto& list : found)
    for (const VotedPose& voted : list)
      all.push_back({from_origin * voted.design_from_scan * to_origin, voted.votes});
  Eigen::Vector3d centre = Eigen::Vector3d::Zero();
  for (const OrientedPoint& p : scan_points) centre += p.at_mm / static_cast<double>(scan_points.size());
  return merged(std::move(all), centre, spacing_mm, most);
}

}  // namespace boxfettle
