// The pose of a whole scan: ours, from anywhere, beside the Point Cloud Library's ICP from a good start.
//
//   build/bench/bench/bench_pose [points, default 2,000,000]
//
// PCL's is its point-to-plane ICP (IterativeClosestPointWithNormals) against the design's vertices with their
// normals, from half a degree and a millimetre off. Both poses are judged by the truth the scan was made
// with: the largest distance between where the two lay a corner of the part's bounds.
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

Found ours(const DesignSurface& design, const PointCloud& scan) {
  constexpr std::size_t first_sample = 20000;
  constexpr double reach_mm = 3;
  const Clock::time_point start = Clock::now();
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
  return {pose, since(start)};
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

Found theirs(const TriangleMesh& mesh, const PointCloud& scan, const RigidPose& start_pose, int iterations) {
  const PclCloud::Ptr target = design_vertices(mesh);
  auto source = pcl::make_shared<PclCloud>();
  for (std::size_t i = 0; i < scan.size(); ++i)
    source->push_back(point(start_pose * scan.point_mm(i), Eigen::Vector3d::UnitZ()));
  const Clock::time_point start = Clock::now();
  pcl::IterativeClosestPointWithNormals<pcl::PointNormal, pcl::PointNormal> icp;
  icp.setInputSource(source);
  icp.setInputTarget(target);
  icp.setMaximumIterations(iterations);
  icp.setMaxCorrespondenceDistance(5);
  icp.setTransformationEpsilon(1e-12);
  PclCloud laid;
  icp.align(laid);
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
  const Found found = ours(design, scan.points);
  std::printf("  ours, from anywhere:              %8.2f s, %.4f mm from the truth\n", found.seconds,
              apart_mm(found.design_from_scan, truth, design.bounds()));
  const RigidPose good_start =
      small_motion({0.005, -0.006, 0.004}, {0.6, -0.5, 0.6}, design.bounds().centre()) * truth;
  for (const int iterations : {3, 6, 12}) {
    const Found pcl = theirs(core.design, scan.points, good_start, iterations);
    std::printf("  PCL, good start, %2d iterations:   %8.2f s, %.4f mm from the truth, %.0f x ours\n",
                iterations, pcl.seconds, apart_mm(pcl.design_from_scan, truth, design.bounds()),
                pcl.seconds / found.seconds);
    std::fflush(stdout);
  }
}

}  // namespace
}  // namespace boxfettle::bench

int main(int count, char** words) {
  boxfettle::bench::run(count > 1 ? std::strtoull(words[1], nullptr, 10) : 2'000'000);
}
