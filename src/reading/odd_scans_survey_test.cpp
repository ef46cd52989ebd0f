// Whatever closed surface is called a design and whatever points are called its scan: the reading ends, with
// figures that are numbers, or with a refusal that says what to do.
#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <random>

#include "demo/invented_cores.hpp"
#include "demo/plain_solids.hpp"
#include "input/input_error.hpp"
#include "reading/half_reading.hpp"

namespace boxfettle {
namespace {

using Random = std::mt19937;

double between(Random& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}
double sized(Random& random, double low, double high) {
  return std::exp(between(random, std::log(low), std::log(high)));
}
Eigen::Vector3d somewhere(Random& random, double reach) {
  return {between(random, -reach, reach), between(random, -reach, reach), between(random, -reach, reach)};
}
bool now_and_then(Random& random) {
  return random() % 5 == 0;
}

void turn_inside_out(TriangleMesh& mesh) {
  for (Triangle& t : mesh.triangles) std::swap(t[0], t[1]);
}

// Blocks from slivers to plates, apart, through each other or one upon the other; some of them inside out.
TriangleMesh heap_of_blocks(Random& random) {
  TriangleMesh heap;
  const double reach = sized(random, 0.1, 200);
  for (int count = 1 + static_cast<int>(random() % 8); count > 0; --count) {
    TriangleMesh part =
        demo::block({sized(random, 1e-3, 300), sized(random, 1e-3, 300), sized(random, 1e-3, 300)},
                    somewhere(random, reach));
    if (now_and_then(random)) turn_inside_out(part);
    demo::add(heap, part);
    if (now_and_then(random)) demo::add(heap, part);
  }
  return heap;
}

TriangleMesh odd_design(Random& random) {
  TriangleMesh design = heap_of_blocks(random);
  if (now_and_then(random)) demo::add(design, demo::coarse(demo::Core::jacket).design);
  const double scale = now_and_then(random) ? sized(random, 0.02, 1e3) : 1;
  const Eigen::Vector3d away = now_and_then(random) ? somewhere(random, 1e5) : Eigen::Vector3d::Zero();
  for (Eigen::Vector3d& v : design.vertices) v = scale * v + away;
  return design;
}

PointCloud points_on(const TriangleMesh& mesh, std::size_t count, double noise_mm, Random& random) {
  PointCloud cloud;
  cloud.origin_mm = mesh.vertices.front().array().round();
  std::normal_distribution<double> noise(0, noise_mm);
  while (cloud.size() < count) {
    const std::size_t t = random() % mesh.triangles.size();
    const double r = std::sqrt(between(random, 0, 1)), s = between(random, 0, 1);
    const Eigen::Vector3d at =
        (1 - r) * mesh.corner(t, 0) + r * (1 - s) * mesh.corner(t, 1) + r * s * mesh.corner(t, 2);
    const Eigen::Vector3d off(noise(random), noise(random), noise(random));
    cloud.offsets_mm.push_back((at + off - cloud.origin_mm).cast<float>());
  }
  return cloud;
}

PointCloud odd_scan(const TriangleMesh& design, Random& random) {
  const auto count = static_cast<std::size_t>(sized(random, 90, 4000));
  PointCloud cloud = now_and_then(random)
                         ? points_on(heap_of_blocks(random), count, sized(random, 1e-4, 10), random)
                         : points_on(design, count, sized(random, 1e-4, 10), random);
  const int flat = static_cast<int>(random() % 8);  // a scan of one place, of a line, of a plane
  for (Eigen::Vector3f& p : cloud.offsets_mm)
    for (Eigen::Index axis = flat; axis < 3; ++axis) p[axis] = 1;
  if (now_and_then(random)) cloud.offsets_mm.push_back({1e6f, -1e6f, 1e6f});
  return cloud;
}

CoreBox box_about(const TriangleMesh& design, Random& random) {
  CoreBox box = demo::coarse(demo::Core::jacket).box;
  const Bounds all = bounds(design);
  box.parting = PartingFace::through(all.centre() + somewhere(random, 0.3 * all.diagonal()),
                                     now_and_then(random) ? somewhere(random, 1) : Eigen::Vector3d::UnitZ());
  return box;
}

void expect_told(const ScanReading& reading) {
  RC_ASSERT(reading.vertex_deviation_mm.size() == reading.surface.vertices.size());
  RC_ASSERT(reading.design_from_scan.rotation.allFinite() &&
            reading.design_from_scan.translation_mm.allFinite());
  for (const double share : {reading.deviation.coverage_fraction, reading.deviation.within_limit_fraction,
                             reading.deviation.outlier_fraction})
    RC_ASSERT(share >= 0 && share <= 1 + 1e-9);
  RC_ASSERT(std::isfinite(reading.noise_mm) && std::isfinite(reading.deviation.sd_mm));
  for (const Finding& finding : reading.findings) {
    RC_ASSERT(std::isfinite(finding.depth_mm) && std::isfinite(finding.area_mm2));
    RC_ASSERT(finding.where_mm.allFinite());
    for (const std::uint32_t v : finding.vertices) RC_ASSERT(v < reading.surface.vertices.size());
  }
  if (reading.halves && reading.halves->told)
    RC_ASSERT(reading.halves->mismatch_mm.allFinite() && std::isfinite(reading.halves->mismatch_u95_mm));
}

RC_GTEST_PROP(OddScans, OfOddDesignsAreReadOrRefused, ()) {
  Random random(*rc::gen::noShrink(rc::gen::inRange<unsigned>(0, 1u << 30)));
  const TriangleMesh design = odd_design(random);
  const PointCloud scan = odd_scan(design, random);
  const CoreBox box = box_about(design, random);
  const auto of = static_cast<ScanSubject>(random() % 3);
  const bool with_box = of != ScanSubject::core || random() % 2 == 0;
  ScanSettings settings;
  settings.keep_points = true;
  if (!now_and_then(random)) settings.scan_unit = LengthUnit::mm;
  try {
    expect_told(read_scanned(of, design, scan, with_box ? &box : nullptr, settings));
  } catch (const InputError& refused) {
    RC_ASSERT(!refused.mend().empty());
  }
}

}  // namespace
}  // namespace boxfettle
