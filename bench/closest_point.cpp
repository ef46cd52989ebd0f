// Nearest place of a scan's points on the design: our pass beside Embree's point query and CGAL's AABB tree.
//
//   build/bench/bench/bench_closest_point [points, default 2,000,000]
//
// Ours gives a signed distance refined in double; Embree's and CGAL's are unsigned, Embree's in float.
#include "geometry/closest_point.hpp"

#include <tbb/blocked_range.h>
#include <tbb/global_control.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <numeric>
#include <random>
#include <vector>

#include "cgal_surface.hpp"
#include "demo/invented_cores.hpp"
#include "embree_surface.hpp"
#include "geometry/morton_order.hpp"
#include "stopwatch.hpp"

namespace boxfettle::bench {
namespace {

constexpr double cell_mm = 0.86;  // gives the volute about 500,000 triangles
constexpr std::size_t cgal_points = 200'000;

// Even over the area, moved along the triangle's normal by up to `reach_mm` either way, or by exactly that
// where `all_off`. In random order.
PointCloud points_about(const TriangleMesh& mesh, std::size_t count, double reach_mm, bool all_off) {
  std::mt19937_64 random(31);
  std::vector<double> area_up_to(mesh.triangles.size());
  for (std::size_t t = 0; t < area_up_to.size(); ++t) area_up_to[t] = doubled_area_vector(mesh, t).norm();
  std::partial_sum(area_up_to.begin(), area_up_to.end(), area_up_to.begin());
  std::uniform_real_distribution<double> place(0, area_up_to.back()), unit(0, 1), off(-reach_mm, reach_mm);
  PointCloud cloud;
  cloud.offsets_mm.reserve(count);
  while (cloud.size() < count) {
    const auto found = std::lower_bound(area_up_to.begin(), area_up_to.end(), place(random));
    const auto t = static_cast<std::size_t>(found - area_up_to.begin());
    const double r = std::sqrt(unit(random)), s = unit(random);
    const Eigen::Vector3d on =
        (1 - r) * mesh.corner(t, 0) + r * (1 - s) * mesh.corner(t, 1) + r * s * mesh.corner(t, 2);
    const double away_mm = all_off ? reach_mm : off(random);
    cloud.offsets_mm.push_back((on + away_mm * doubled_area_vector(mesh, t).normalized()).cast<float>());
  }
  return cloud;
}

// On as many threads as the pass itself.
template <typename Act>
void for_each_place(std::size_t count, const Act& act) {
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, count, 16384), [&](const auto& range) {
    for (std::size_t i = range.begin(); i != range.end(); ++i) act(i);
  });
}

// A scan as it comes, answered in its own order: sort, look, put the answers back.
std::vector<SurfaceHit> full_pass(const SurfaceIndex& index, const PointCloud& scan) {
  const std::vector<std::uint32_t> order = morton_order(scan.offsets_mm);
  PointCloud sorted;
  sorted.origin_mm = scan.origin_mm;
  sorted.offsets_mm.resize(order.size());
  for_each_place(order.size(), [&](std::size_t i) { sorted.offsets_mm[i] = scan.offsets_mm[order[i]]; });
  const std::vector<SurfaceHit> found = index.closest(sorted, RigidPose{});
  std::vector<SurfaceHit> hits(order.size());
  for_each_place(order.size(), [&](std::size_t i) { hits[order[i]] = found[i]; });
  return hits;
}

struct Indices {
  const SurfaceIndex& ours;
  const EmbreeSurface& embree;
  const CgalSurface& cgal;
};

// A fast wrong answer is no answer: all three must tell the same distances before they are timed.
void check_agreement(const Indices& indices, PointCloud sample) {
  sample.offsets_mm.resize(std::min<std::size_t>(sample.size(), 10'000));
  const std::vector<SurfaceHit> ours = indices.ours.closest(sample, RigidPose{});
  const std::vector<float> embree = indices.embree.distances_mm(sample);
  const std::vector<double> cgal = indices.cgal.distances_mm(sample);
  double from_embree_mm = 0, from_cgal_mm = 0;
  for (std::size_t i = 0; i < sample.size(); ++i) {
    const double distance_mm = std::abs(ours[i].signed_mm);
    from_embree_mm = std::max(from_embree_mm, std::abs(distance_mm - double{embree[i]}));
    from_cgal_mm = std::max(from_cgal_mm, std::abs(distance_mm - cgal[i]));
  }
  std::printf(
      "  largest difference over %zu points: from CGAL %.1e mm, from Embree %.1e mm (float corners)\n",
      sample.size(), from_cgal_mm, from_embree_mm);
}

void row(const char* what, double seconds, std::size_t points, double ours_seconds_a_point) {
  const double a_point = seconds / static_cast<double>(points);
  std::printf("  %-44s %9.0f ns a point   %6.2f x ours sorted\n", what, a_point * 1e9,
              a_point / ours_seconds_a_point);
}

void side_by_side(const Indices& indices, const PointCloud& scan, const char* where, int threads) {
  const tbb::global_control limit(tbb::global_control::max_allowed_parallelism,
                                  static_cast<std::size_t>(threads));
  std::printf("\n%zu points %s, %d thread%s (load %s)\n", scan.size(), where, threads, threads > 1 ? "s" : "",
              load_average().c_str());
  check_agreement(indices, scan);
  const PointCloud sorted = in_morton_order(scan);
  const double ours = median_seconds([&] { indices.ours.closest(sorted, RigidPose{}); });
  const double a_point = ours / static_cast<double>(scan.size());
  row("ours, sorted points, signed", ours, scan.size(), a_point);
  row("ours, random order, sorting included, signed", median_seconds([&] { full_pass(indices.ours, scan); }),
      scan.size(), a_point);
  row("Embree, sorted points", median_seconds([&] { indices.embree.distances_mm(sorted); }), scan.size(),
      a_point);
  row("Embree, random order", median_seconds([&] { indices.embree.distances_mm(scan); }), scan.size(),
      a_point);
  if (threads > 1) return;  // CGAL's tree is asked on one thread
  PointCloud part;
  part.offsets_mm.assign(scan.offsets_mm.begin(),
                         scan.offsets_mm.begin() + static_cast<long>(std::min(cgal_points, scan.size())));
  row("CGAL, random order (up to 200,000 of them)", median_seconds([&] { indices.cgal.distances_mm(part); }),
      part.size(), a_point);
  part = in_morton_order(part);
  row("CGAL, sorted points (up to 200,000 of them)", median_seconds([&] { indices.cgal.distances_mm(part); }),
      part.size(), a_point);
}

void build_times(const TriangleMesh& mesh, int threads) {
  const tbb::global_control limit(tbb::global_control::max_allowed_parallelism,
                                  static_cast<std::size_t>(threads));
  std::printf("\nIndex built, %d thread%s: ours %.0f ms, Embree %.0f ms", threads, threads > 1 ? "s" : "",
              1e3 * median_seconds([&] { SurfaceIndex{mesh}; }),
              1e3 * median_seconds([&] { EmbreeSurface(mesh, threads); }));
  if (threads == 1) std::printf(", CGAL %.0f ms", 1e3 * median_seconds([&] { CgalSurface{mesh}; }));
  std::printf("\n");
}

void run(std::size_t points) {
  const TriangleMesh mesh = demo::pump_volute(cell_mm).design;
  std::printf("%s; pump volute of %zu triangles; medians of %d\n", processor().c_str(), mesh.triangles.size(),
              repeats);
  for (const int threads : {1, 2}) build_times(mesh, threads);
  const SurfaceIndex ours(mesh);
  const EmbreeSurface embree(mesh, 2);
  const CgalSurface cgal(mesh);
  const PointCloud on_it = points_about(mesh, points, 0.1, false);
  const PointCloud off_it = points_about(mesh, points, 2.0, true);
  for (const int threads : {1, 2}) {
    side_by_side({ours, embree, cgal}, on_it, "within 0.1 mm of the surface", threads);
    side_by_side({ours, embree, cgal}, off_it, "moved 2 mm off the surface", threads);
  }
}

}  // namespace
}  // namespace boxfettle::bench

int main(int count, char** words) {
  boxfettle::bench::run(count > 1 ? std::strtoull(words[1], nullptr, 10) : 2'000'000);
}
