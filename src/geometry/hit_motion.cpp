#include "geometry/hit_motion.hpp"

#include <array>
#include <cmath>
#include <cstddef>

#include "geometry/vector_targets.hpp"

#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "geometry/hit_motion.cpp"
#include <hwy/foreach_target.h>
#include <hwy/highway.h>

HWY_BEFORE_NAMESPACE();
namespace boxfettle::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

using Lanes = hn::CappedTag<float, 16>;
using Numbers = hn::RebindToUnsigned<Lanes>;
using V = hn::Vec<Lanes>;

static_assert(sizeof(SurfaceHit) == 8 && offsetof(SurfaceHit, triangle) == 4);
static_assert(sizeof(Eigen::Vector3f) == 12);

struct Arrow {
  V x, y, z;
};

struct Laid {
  V distance;
  hn::Vec<Numbers> triangle;
  Arrow offset, normal;
};

// As many points as there are lanes, from the first of these.
HWY_INLINE Laid load(const SurfaceHit* hits, const Eigen::Vector3f* offsets, const Eigen::Vector3f* normals) {
  const Lanes d;
  const Numbers du;
  Laid laid;
  hn::Vec<Numbers> bits;
  hn::LoadInterleaved2(du, reinterpret_cast<const std::uint32_t*>(hits), bits, laid.triangle);
  laid.distance = hn::BitCast(d, bits);
  hn::LoadInterleaved3(d, reinterpret_cast<const float*>(offsets), laid.offset.x, laid.offset.y,
                       laid.offset.z);
  const auto place =
      hn::BitCast(hn::RebindToSigned<Lanes>(), hn::Add(laid.triangle, hn::Add(laid.triangle, laid.triangle)));
  const float* const rows = reinterpret_cast<const float*>(normals);
  laid.normal = {hn::GatherIndex(d, rows, place), hn::GatherIndex(d, rows + 1, place),
                 hn::GatherIndex(d, rows + 2, place)};
  return laid;
}

void AddMotion(std::span<SurfaceHit> hits, const Eigen::Vector3f* offsets, const Eigen::Vector3f* normals,
               const OffsetMotion& motion) {
  const Lanes d;
  const Eigen::Matrix3f linear = motion.linear.cast<float>();
  const Eigen::Vector3f constant = motion.constant_mm.cast<float>();
  const auto row = [&](Eigen::Index k, const Arrow& o) {
    return hn::MulAdd(hn::Set(d, linear(k, 0)), o.x,
                      hn::MulAdd(hn::Set(d, linear(k, 1)), o.y,
                                 hn::MulAdd(hn::Set(d, linear(k, 2)), o.z, hn::Set(d, constant[k]))));
  };
  for (std::size_t i = 0; i < hits.size(); i += hn::Lanes(d)) {
    const Laid laid = load(&hits[i], offsets + i, normals);
    const Arrow& n = laid.normal;
    const V moved =
        hn::MulAdd(n.x, row(0, laid.offset),
                   hn::MulAdd(n.y, row(1, laid.offset), hn::MulAdd(n.z, row(2, laid.offset), laid.distance)));
    const Numbers du;
    hn::StoreInterleaved2(hn::BitCast(du, moved), laid.triangle, du,
                          reinterpret_cast<std::uint32_t*>(&hits[i]));
  }
}

Pull PullOf(std::span<const SurfaceHit> hits, const Eigen::Vector3f* offsets, const Eigen::Vector3f* normals,
            float cut) {
  const Lanes d;
  const V one = hn::Set(d, 1.0f), per_cut = hn::Set(d, 1 / cut), none = hn::Zero(d);
  V xx = none, xy = none, xz = none, yx = none, yy = none, yz = none, zx = none, zy = none, zz = none;
  Arrow sum{none, none, none};
  for (std::size_t i = 0; i < hits.size(); i += hn::Lanes(d)) {
    const Laid laid = load(&hits[i], offsets + i, normals);
    const Arrow &o = laid.offset, &n = laid.normal;
    const V share = hn::Mul(laid.distance, per_cut);
    const V rest = hn::Max(hn::NegMulAdd(share, share, one), none);
    const V pull = hn::Mul(hn::Mul(rest, rest), laid.distance);
    const Arrow pulled{hn::Mul(pull, n.x), hn::Mul(pull, n.y), hn::Mul(pull, n.z)};
    sum = {hn::Add(sum.x, pulled.x), hn::Add(sum.y, pulled.y), hn::Add(sum.z, pulled.z)};
    xx = hn::MulAdd(o.x, pulled.x, xx), xy = hn::MulAdd(o.x, pulled.y, xy),
    xz = hn::MulAdd(o.x, pulled.z, xz);
    yx = hn::MulAdd(o.y, pulled.x, yx), yy = hn::MulAdd(o.y, pulled.y, yy),
    yz = hn::MulAdd(o.y, pulled.z, yz);
    zx = hn::MulAdd(o.z, pulled.x, zx), zy = hn::MulAdd(o.z, pulled.y, zy),
    zz = hn::MulAdd(o.z, pulled.z, zz);
  }
  const auto total = [&](V v) { return static_cast<double>(hn::GetLane(hn::SumOfLanes(d, v))); };
  Pull pull;
  pull.offset_normal_mm2 << total(xx), total(xy), total(xz), total(yx), total(yy), total(yz), total(zx),
      total(zy), total(zz);
  pull.normal_mm = {total(sum.x), total(sum.y), total(sum.z)};
  return pull;
}

std::size_t LanesOfFloats() {
  return hn::Lanes(Lanes());
}

}  // namespace boxfettle::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace boxfettle {
namespace {

HWY_EXPORT(AddMotion);
HWY_EXPORT(PullOf);
HWY_EXPORT(LanesOfFloats);

// Points in whole vectors; the rest follows.
std::size_t in_whole_vectors(std::size_t points) {
  return points - points % HWY_DYNAMIC_DISPATCH(LanesOfFloats)();
}

}  // namespace

void add_motion(std::span<SurfaceHit> hits, std::span<const Eigen::Vector3f> offsets_mm,
                std::span<const Eigen::Vector3f> normals, const OffsetMotion& motion) {
  const std::size_t whole = in_whole_vectors(hits.size());
  HWY_DYNAMIC_DISPATCH(AddMotion)(hits.first(whole), offsets_mm.data(), normals.data(), motion);
  for (std::size_t i = whole; i < hits.size(); ++i)
    hits[i].signed_mm += static_cast<float>(normals[hits[i].triangle].cast<double>().dot(
        motion.linear * offsets_mm[i].cast<double>() + motion.constant_mm));
}

Pull pull_of(std::span<const SurfaceHit> hits, std::span<const Eigen::Vector3f> offsets_mm,
             std::span<const Eigen::Vector3f> normals, double cut_mm) {
  // Single sums of float lose digits as they grow: short ones are added up in double.
  constexpr std::size_t run = 4096;
  const std::size_t whole = in_whole_vectors(hits.size());
  Pull sum;
  const auto add = [&](const Pull& part) {
    sum.offset_normal_mm2 += part.offset_normal_mm2;
    sum.normal_mm += part.normal_mm;
  };
  for (std::size_t i = 0; i < whole; i += run)
    add(HWY_DYNAMIC_DISPATCH(PullOf)(hits.subspan(i, std::min(run, whole - i)), offsets_mm.data() + i,
                                     normals.data(), static_cast<float>(cut_mm)));
  for (std::size_t i = whole; i < hits.size(); ++i) {
    const double share = hits[i].signed_mm / cut_mm, rest = std::max(1 - share * share, 0.0);
    const Eigen::Vector3d pulled = rest * rest * hits[i].signed_mm * normals[hits[i].triangle].cast<double>();
    add({offsets_mm[i].cast<double>() * pulled.transpose(), pulled});
  }
  return sum;
}

}  // namespace boxfettle
#endif  // HWY_ONCE
