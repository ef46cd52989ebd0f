// The pose of a whole scan: ours, from anywhere, beside the Point Cloud Library's ICP from a good start.
//
//   build/bench/bench/bench_pose [points, default 2,000,000]
//
// PCL's start half a degree and a millimetre off, against the design's vertices: its plain ICP
// (IterativeClosestPoint, point to point), and its point-to-plane ICP (IterativeClosestPointWithNormals),
// which is helped by the design's normals. All poses are judged by the truth the scan was made with: the
// largest distance between where the two lay a corner of the part's bounds. A full pass of nearest places,
// sorting included, is timed beside them.
#include <pcl/registration/icp.h>
#include <tbb/global_control.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>

#include "demo/invented_cores.hpp"
#include "demo/synthetic_scan.hpp"
#include "geometry/morton_order.hpp"
#include "reading/design_surface.hpp"
#include "reading/oriented_points.hpp"
#include "reading/pose_fit.hpp"
#include "reading/pose_search.hpp"
#include "stopwatch.hpp"

namespace boxfettle::bench {
namespace {

using Clock = std::chrono::steady_clock;
using PclCloud = pcl::PointCloud<pcl::PointNormal>;

struct Found {
  RigidPose design_from_scan;
  double seconds;
};

double since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

RigidPose ours(const DesignSurface& design, const PointCloud& scan) {
  constexpr std::size_t first_sample = 20000;
  constexpr double reach_mm = 3;
  PointCloud points = in_morton_order(scan);
  const PoseSearch search = search_pose(design, points);
  FitSettings settings;
  settings.widest_mm = 4 * search.reach_mm;
  settings.uncertainty = false;
  const Eigen::Vector3d pivot_mm = design.bounds().centre();
  const PoseFit fit = fit_pose(design.index(), points_at(points, fair_runs(points.size(), first_sample)),
                               search.candidates.front().design_from_scan, pivot_mm, settings);
  RigidPose pose = fit.surface_from_points;
  std::vector<SurfaceHit> hits = design.index().closest(points, pose, reach_mm);
  if (std::any_of(hits.begin(), hits.end(), [](const SurfaceHit& h) { return h.triangle == no_triangle; })) {
    std::fprintf(stderr, "a point of the clean scan lies off the design\n");
    std::exit(1);
  }
  last_step(design.index(), points, hits, pose, pivot_mm, fit.cut_mm);
  return pose;
}

pcl::PointNormal point(const Eigen::Vector3d& at, const Eigen::Vector3d& normal) {
  pcl::PointNormal p;
  p.getVector3fMap() = at.cast<float>();
  p.getNormalVector3fMap() = normal.cast<float>();
  return p;
}

PclCloud::Ptr design_vertices(const TriangleMesh& mesh) {
  std::vector<Eigen::Vector3d> normals(mesh.vertices.size(), Eigen::Vector3d::Zero());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (const std::uint32_t v : mesh.triangles[t]) normals[v] += doubled_area_vector(mesh, t);
  auto cloud = pcl::make_shared<PclCloud>();
  for (std::size_t v = 0; v < normals.size(); ++v)
    cloud->push_back(point(mesh.vertices[v], normals[v].normalized()));
  return cloud;
}

PclCloud::Ptr laid(const PointCloud& scan, const RigidPose& pose) {
  auto cloud = pcl::make_shared<PclCloud>();
  for (std::size_t i = 0; i < scan.size(); ++i)
    cloud->push_back(point(pose * scan.point_mm(i), Eigen::Vector3d::UnitZ()));
  return cloud;
}

// How far a run of the plain ICP has come, and what it took until then.
struct Progress {
  int iterations = 0;
  double seconds = 0, off_mm = 0;
};

// A few iterations at a time, until its pose is as near the truth as ours, or comes no nearer, or the time is
// up.
template <typename Judge>
Progress plain_icp(const TriangleMesh& mesh, const PointCloud& scan, const RigidPose& start_pose,
                   double wanted_mm, const Judge& off_mm) {
  constexpr int at_a_time = 5;
  constexpr double longest_seconds = 400, still_gains = 0.98;
  const PclCloud::Ptr target = design_vertices(mesh), source = laid(scan, start_pose);
  pcl::IterativeClosestPoint<pcl::PointNormal, pcl::PointNormal> icp;
  const Clock::time_point start = Clock::now();
  icp.setInputSource(source);
  icp.setInputTarget(target);
  icp.setMaximumIterations(at_a_time);
  icp.setMaxCorrespondenceDistance(5);
  icp.setTransformationEpsilon(1e-12);
  Progress reached;
  Eigen::Matrix4f pose = Eigen::Matrix4f::Identity();
  for (double before = 1e300;; before = reached.off_mm) {
    PclCloud moved;
    icp.align(moved, pose);
    pose = icp.getFinalTransformation();
    reached.iterations += at_a_time;
    reached.seconds = since(start);
    const Eigen::Matrix4d by = pose.cast<double>();
    reached.off_mm = off_mm(RigidPose{by.topLeftCorner<3, 3>(), by.topRightCorner<3, 1>()} * start_pose);
    if (reached.off_mm <= wanted_mm || reached.off_mm > still_gains * before ||
        reached.seconds > longest_seconds)
      return reached;
  }
}

Found theirs(const TriangleMesh& mesh, const PointCloud& scan, const RigidPose& start_pose, int iterations) {
  const PclCloud::Ptr target = design_vertices(mesh), source = laid(scan, start_pose);
  const Clock::time_point start = Clock::now();
  pcl::IterativeClosestPointWithNormals<pcl::PointNormal, pcl::PointNormal> icp;
  icp.setInputSource(source);
  icp.setInputTarget(target);
  icp.setMaximumIterations(iterations);
  icp.setMaxCorrespondenceDistance(5);
  icp.setTransformationEpsilon(1e-12);
  PclCloud moved_points;
  icp.align(moved_points);
  const double seconds = since(start);
  const Eigen::Matrix4d moved = icp.getFinalTransformation().cast<double>();
  const RigidPose back{moved.topLeftCorner<3, 3>(), moved.topRightCorner<3, 1>()};
  return {back * start_pose, seconds};
}

double apart_mm(const RigidPose& a, const RigidPose& b, const Bounds& design) {
  const RigidPose from_design = b.inverse();
  double worst = 0;
  for (int corner = 0; corner < 8; ++corner) {
    Eigen::Vector3d at;
    for (int k = 0; k < 3; ++k) at[k] = (corner >> k & 1) ? design.high[k] : design.low[k];
    worst = std::max(worst, (a * (from_design * at) - at).norm());
  }
  return worst;
}

void run(std::size_t points) {
  const tbb::global_control one(tbb::global_control::max_allowed_parallelism, 1);
  const demo::InventedCore core = demo::pump_volute(0.86);
  demo::Scanner scanner;
  scanner.points = points;
  const demo::SyntheticScan scan = demo::scan_core(core.design, core.box.parting, {}, scanner);
  const RigidPose truth = scan.scan_from_design.inverse();
  const DesignSurface design(core.design);
  std::printf("%s; %zu points, %zu triangles, one thread (load %s)\n", processor().c_str(),
              scan.points.size(), core.design.triangles.size(), load_average().c_str());
  const double pass = median_seconds([&] { design.index().closest(in_morton_order(scan.points), truth); });
  Found found;
  found.seconds = median_seconds([&] { found.design_from_scan = ours(design, scan.points); });
  const auto off_mm = [&](const RigidPose& pose) { return apart_mm(pose, truth, design.bounds()); };
  std::printf("  one pass of nearest places:       %8.2f s (median of %d)\n", pass, repeats);
  std::printf(
      "  ours, from anywhere:              %8.2f s, %.4f mm from the truth, %.1f passes (median of %d)\n",
      found.seconds, off_mm(found.design_from_scan), found.seconds / pass, repeats);
  const RigidPose good_start =
      small_motion({0.005, -0.006, 0.004}, {0.6, -0.5, 0.6}, design.bounds().centre()) * truth;
  for (const int iterations : {3, 6, 12}) {
    const Found pcl = theirs(core.design, scan.points, good_start, iterations);
    std::printf(
        "  PCL point-to-plane, good start, %2d iterations: %8.2f s, %.4f mm from the truth, %.0f x ours\n",
        iterations, pcl.seconds, off_mm(pcl.design_from_scan), pcl.seconds / found.seconds);
    std::fflush(stdout);
  }
  const Progress plain =
      plain_icp(core.design, scan.points, good_start, off_mm(found.design_from_scan), off_mm);
  std::printf(
      "  PCL point-to-point, good start, %3d iterations: %8.2f s, %.4f mm from the truth, %.0f x ours\n",
      plain.iterations, plain.seconds, plain.off_mm, plain.seconds / found.seconds);
}

}  // namespace
}  // namespace boxfettle::bench

int main(int count, char** words) {
  boxfettle::bench::run(count > 1 ? std::strtoull(words[1], nullptr, 10) : 2'000'000);
}
