#include "geometry/hit_motion.hpp"

#include <gmock/gmock.h>

#include <random>
#include <vector>

namespace boxfettle {
namespace {

// Any number of points, so that whole vectors and what is left over are both met.
struct LaidPoints {
  std::vector<SurfaceHit> hits;
  std::vector<Eigen::Vector3f> offsets_mm, normals;

  LaidPoints(std::size_t count, unsigned seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<float> place(-200, 200), off(-0.4f, 0.4f);
    for (int t = 0; t < 50; ++t)
      normals.push_back(Eigen::Vector3f(place(random), place(random), place(random)).normalized());
    for (std::size_t i = 0; i < count; ++i) {
      hits.push_back({off(random), static_cast<std::uint32_t>(random() % normals.size())});
      offsets_mm.emplace_back(place(random), place(random), place(random));
    }
  }
};

TEST(HitMotion, DistancesGrowByTheMotionAlongTheNormal) {
  for (const std::size_t count : {0u, 1u, 15u, 16u, 17u, 1000u}) {
    LaidPoints given(count, 3);
    const std::vector<SurfaceHit> before = given.hits;
    OffsetMotion motion;
    motion.linear << 1e-4, -2e-3, 3e-4, 2e-3, 0, -1e-3, 5e-4, 1e-3, -2e-4;
    motion.constant_mm = {0.12, -0.07, 0.2};
    add_motion(given.hits, given.offsets_mm, given.normals, motion);
    for (std::size_t i = 0; i < count; ++i) {
      const Eigen::Vector3d moves = motion.linear * given.offsets_mm[i].cast<double>() + motion.constant_mm;
      const double wanted = before[i].signed_mm + given.normals[before[i].triangle].cast<double>().dot(moves);
      EXPECT_NEAR(given.hits[i].signed_mm, wanted, 5e-7) << i << " of " << count;
      EXPECT_EQ(given.hits[i].triangle, before[i].triangle);
    }
  }
}

TEST(HitMotion, PullIsTheWeightedSumOverEveryPointWithinTheCut) {
  for (const std::size_t count : {0u, 1u, 15u, 16u, 17u, 4096u, 30001u}) {
    const LaidPoints given(count, 4);
    const double cut_mm = 0.25;
    Pull wanted;
    double size = 0;
    for (std::size_t i = 0; i < count; ++i) {
      const double d = given.hits[i].signed_mm;
      if (std::abs(d) >= cut_mm) continue;
      const double w = std::pow(1 - std::pow(d / cut_mm, 2), 2);
      const Eigen::Vector3d pulled = w * d * given.normals[given.hits[i].triangle].cast<double>();
      wanted.normal_mm += pulled;
      wanted.offset_normal_mm2 += given.offsets_mm[i].cast<double>() * pulled.transpose();
      size += std::abs(w * d);
    }
    const Pull found = pull_of(given.hits, given.offsets_mm, given.normals, cut_mm);
    EXPECT_LE((found.normal_mm - wanted.normal_mm).norm(), 1e-6 * size) << count;
    EXPECT_LE((found.offset_normal_mm2 - wanted.offset_normal_mm2).norm(), 1e-6 * 200 * size) << count;
  }
}

}  // namespace
}  // namespace boxfettle
