#include "reading/pose_search.hpp"

#include <tbb/parallel_for.h>
#include <tbb/parallel_invoke.h>

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "input/input_error.hpp"
#include "reading/oriented_points.hpp"
#include "reading/pair_votes.hpp"
#include "reading/pose_fit.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t fewest_points = 100;

double search_spacing_mm(const DesignSurface& design) {
  constexpr double points_wanted = 700;
  return std::sqrt(design.area_mm2() / points_wanted);
}

// The axes in which a set of points spreads most, right-handed.
struct PrincipalAxes {
  Eigen::Vector3d centre = Eigen::Vector3d::Zero();
  Eigen::Matrix3d axes;

  explicit PrincipalAxes(const std::vector<Eigen::Vector3d>& points) {
    for (const Eigen::Vector3d& p : points) centre += p / static_cast<double>(points.size());
    Eigen::Matrix3d spread = Eigen::Matrix3d::Zero();
    for (const Eigen::Vector3d& p : points) spread += (p - centre) * (p - centre).transpose();
    axes = Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>(spread).eigenvectors();
    if (axes.determinant() < 0) axes.col(0) = -axes.col(0);
  }
};

// Whole scans of parts with three different extents: the four ways to lay axes on axes. Cheap, and often
// right.
std::vector<RigidPose> poses_by_axes(const std::vector<OrientedPoint>& design, const PointCloud& scan) {
  std::vector<Eigen::Vector3d> places, seen;
  for (const OrientedPoint& p : design) places.push_back(p.at_mm);
  for (std::size_t i = 0; i < scan.size(); ++i) seen.push_back(scan.point_mm(i));
  const PrincipalAxes to(places), from(seen);
  std::vector<RigidPose> poses;
  for (int flip = 0; flip < 4; ++flip) {
    const Eigen::Vector3d signs((flip & 1) ? -1 : 1, (flip & 2) ? -1 : 1,
                                ((flip & 1) != 0) == ((flip & 2) != 0) ? 1 : -1);
    const Eigen::Matrix3d rotation = to.axes * signs.asDiagonal() * from.axes.transpose();
    poses.push_back({rotation, to.centre - rotation * from.centre});
  }
  return poses;
}

// Where to start from: by axes, and by the votes of pairs.
std::vector<RigidPose> voted(const DesignSurface& design, const PointCloud& cloud) {
  const double spacing_mm = search_spacing_mm(design);
  std::vector<OrientedPoint> on_design, on_scan;
  tbb::parallel_invoke([&] { on_design = spread_over(design, spacing_mm); },
                       [&] { on_scan = spread_over(cloud, spacing_mm); });
  std::vector<RigidPose> starts = poses_by_axes(on_design, fair_sample(cloud, 300));
  if (on_scan.size() >= 8)
    for (const VotedPose& pose : vote_poses(on_design, on_scan, spacing_mm, 60))
      starts.push_back(pose.design_from_scan);
  return starts;
}

PoseCandidate judged(const RigidPose& pose, const std::vector<LaidPoint>& laid, double reach_mm) {
  double sum = 0, squares = 0, near = 0;
  for (const LaidPoint& point : laid) {
    const double d = std::min(std::abs(point.distance_mm), reach_mm);
    sum += d;
    squares += d * d;
    near += d < reach_mm;
  }
  const double n = static_cast<double>(laid.size());
  const double mean = sum / n;
  return {pose, mean, std::sqrt(std::max(squares / n - mean * mean, 0.0) / n), near / n};
}

bool same_place(const RigidPose& a, const RigidPose& b, const Bounds& design) {
  constexpr double same_rad = 3 * std::numbers::pi / 180;
  const RigidPose move = a * b.inverse();
  return (move * design.centre() - design.centre()).norm() < 0.02 * design.diagonal() &&
         rotation_vector(move.rotation).norm() < same_rad;
}

void keep_distinct(std::vector<PoseCandidate>& candidates, const Bounds& design, std::size_t most) {
  std::stable_sort(candidates.begin(), candidates.end(),
                   [](const PoseCandidate& a, const PoseCandidate& b) { return a.misfit_mm < b.misfit_mm; });
  std::vector<PoseCandidate> kept;
  for (const PoseCandidate& c : candidates) {
    const bool known = std::any_of(kept.begin(), kept.end(), [&](const PoseCandidate& k) {
      return same_place(k.design_from_scan, c.design_from_scan, design);
    });
    if (!known) kept.push_back(c);
    if (kept.size() == most) break;
  }
  candidates = std::move(kept);
}

// Poses that fit far worse than the best, by any doubt the points leave, are not worth a closer look.
void drop_hopeless(std::vector<PoseCandidate>& candidates) {
  const PoseCandidate& best = candidates.front();
  const double most_mm = std::max(2 * best.misfit_mm, best.misfit_mm + 8 * best.misfit_sd_mm);
  const auto hopeless = std::find_if(candidates.begin() + 1, candidates.end(), [&](const PoseCandidate& c) {
    return c.misfit_mm - 8 * c.misfit_sd_mm > most_mm;
  });
  candidates.erase(hopeless, candidates.end());  // they stand in the order of their misfit
}

// How closely a round looks: at which points, laid how, how far off the design they may be.
struct Round {
  const PointLayer& lay;
  const PointCloud& points;
  double widest_mm, reach_mm;  // for the fit, and for the judgement
  int iterations, steps;       // steps in one iteration: more where to lay the points takes long
};

// Fits every candidate and judges it; keeps the best that differ.
void tighten(std::vector<PoseCandidate>& candidates, const Bounds& design, const Round& round,
             std::size_t most) {
  tbb::parallel_for(std::size_t{0}, candidates.size(), [&](std::size_t i) {
    FitSettings settings;
    settings.most_iterations = round.iterations;
    settings.most_steps = round.steps;
    settings.step_mm = 0.05 * round.reach_mm;
    settings.widest_mm = round.widest_mm;
    settings.uncertainty = false;
    std::vector<LaidPoint> laid;
    const PoseFit fit =
        fit_pose(round.lay, round.points, candidates[i].design_from_scan, design.centre(), settings, laid);
    candidates[i] = judged(fit.surface_from_points, laid, round.reach_mm);
  });
  keep_distinct(candidates, design, most);
}

// How far apart two poses lay the part, as a share of its size.
double apart(const RigidPose& a, const RigidPose& b, const Bounds& design) {
  const RigidPose move = a * b.inverse();
  return (move * design.centre() - design.centre()).norm() / design.diagonal() +
         rotation_vector(move.rotation).norm();
}

// Of the poses that fit as well as the best, the one `rough` means, if it means one clearly. A rough pose of
// another scan's frame means none: of all turns, (a - sin a) / pi lie within a of a given one (Haar measure),
// so that it falls as near as this to one of four poses in less than one case in a hundred.
void settle(PoseSearch& search, const RigidPose& rough, const Bounds& design) {
  constexpr double clearly = 2, near = 0.35;  // 20 degrees, or a third of the part's size
  std::vector<PoseCandidate>& all = search.candidates;
  const double fits_like_best = all.front().misfit_mm + search.doubt_mm;
  const auto alike = std::partition_point(
      all.begin(), all.end(), [&](const PoseCandidate& c) { return c.misfit_mm <= fits_like_best; });
  std::stable_sort(all.begin(), alike, [&](const PoseCandidate& a, const PoseCandidate& b) {
    return apart(a.design_from_scan, rough, design) < apart(b.design_from_scan, rough, design);
  });
  const double off = apart(all[0].design_from_scan, rough, design);
  search.settled = off < near && clearly * off < apart(all[1].design_from_scan, rough, design);
  if (search.settled) search.ambiguous = false;
}

}  // namespace

PoseSearch search_pose(const DesignSurface& design, const PointCloud& cloud,
                       const std::optional<RigidPose>& rough) {
  if (cloud.size() < fewest_points)
    throw InputError("scan", "", "it has too few points: " + std::to_string(cloud.size()),
                     "scan the part again, at least 100 points");
  std::optional<NearSurfaceGrid> grid;
  std::vector<RigidPose> starts;
  tbb::parallel_invoke([&] { grid.emplace(search_grid(design)); }, [&] { starts = voted(design, cloud); });
  return best_of(design, *grid, cloud, std::move(starts), rough);
}

NearSurfaceGrid search_grid(const DesignSurface& design) {
  const double spacing_mm = search_spacing_mm(design);
  return {design.mesh(), 0.3 * spacing_mm, 2 * spacing_mm};
}

PoseSearch best_of(const DesignSurface& design, const NearSurfaceGrid& grid, const PointCloud& cloud,
                   std::vector<RigidPose> starts, const std::optional<RigidPose>& rough) {
  if (rough) starts.push_back(*rough);
  const double spacing_mm = search_spacing_mm(design);
  const PointCloud few = fair_sample(cloud, 300), some = fair_sample(cloud, 1200),
                   many = fair_sample(cloud, 6000);
  const PointLayer roughly = [&](const PointCloud& points, const RigidPose& pose,
                                 std::vector<LaidPoint>& all) {
    all.resize(points.size());
    for (std::size_t i = 0; i < all.size(); ++i) {
      const Eigen::Vector3d at = pose * points.point_mm(i);
      all[i] = laid_on(design.index(), grid.triangle_near(at), at);
    }
  };
  PoseSearch search;
  search.reach_mm = std::max(0.05 * spacing_mm, 0.5);
  const double close_mm = 2 * search.reach_mm;
  const PointLayer exactly = on_nearest_places(design.index(), close_mm);

  std::vector<PoseCandidate> candidates(starts.size());
  tbb::parallel_for(std::size_t{0}, starts.size(), [&](std::size_t i) {
    std::vector<LaidPoint> laid;
    roughly(few, starts[i], laid);
    candidates[i] = judged(starts[i], laid, spacing_mm);
  });
  keep_distinct(candidates, design.bounds(), 24);
  tighten(candidates, design.bounds(), {roughly, few, 2 * spacing_mm, 0.7 * spacing_mm, 8, 2}, 10);
  drop_hopeless(candidates);
  tighten(candidates, design.bounds(), {roughly, some, spacing_mm, 0.2 * spacing_mm, 10, 2}, 5);
  drop_hopeless(candidates);
  // The last rounds look closely: what tells two near-symmetric poses apart is a small feature, seen by few
  // points.
  tighten(candidates, design.bounds(), {exactly, few, close_mm, search.reach_mm, 12, 3}, 5);
  drop_hopeless(candidates);
  if (candidates.size() > 1) {
    tighten(candidates, design.bounds(), {exactly, some, close_mm, search.reach_mm, 12, 3}, 5);
    drop_hopeless(candidates);
  }
  tighten(candidates, design.bounds(), {exactly, many, close_mm, search.reach_mm, 8, 3}, 5);
  search.candidates = std::move(candidates);
  if (search.candidates.size() > 1) {
    const PoseCandidate &best = search.candidates[0], &next = search.candidates[1];
    search.doubt_mm = 4 * std::hypot(best.misfit_sd_mm, next.misfit_sd_mm);
    search.ambiguous = next.misfit_mm - best.misfit_mm < search.doubt_mm;
  }
  if (search.ambiguous && rough) settle(search, *rough, design.bounds());
  return search;
}

}  // namespace boxfettle
