#include "flow/strip_kernels.hpp"

#include "geometry/vector_targets.hpp"

#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "flow/strip_kernels.cpp"
#include <hwy/foreach_target.h>
#include <hwy/highway.h>

HWY_BEFORE_NAMESPACE();
namespace boxfettle::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

using Lanes = hn::CappedTag<float, 8>;
using F = hn::Vec<Lanes>;
using Doubles = hn::CappedTag<double, 8>;
using Narrow = hn::Rebind<float, Doubles>;
using D = hn::Vec<Doubles>;

constexpr std::size_t eight = StripGrid::half_length;

// One half of a strip, its cells of even or of odd x, and where their neighbours stand in memory.
struct HalfStrip {
  std::size_t here, x_low, x_high, y_low, y_high, z_low, z_high;
};

HWY_INLINE HalfStrip half_strip(const StripGrid& grid, std::uint32_t slot, bool odd) {
  const StripGrid::Strip& strip = grid.strips[slot];
  const std::size_t half = grid.odd_half();
  const std::size_t own = odd ? half : 0;
  const std::size_t across = (odd ? 0 : half) + slot * eight;
  return {own + slot * eight,        odd ? across : across - 1,  odd ? across + 1 : across,
          own + strip.y_low * eight, own + strip.y_high * eight, own + strip.z_low * eight,
          own + strip.z_high * eight};
}

HWY_INLINE bool is_odd(const StripGrid& grid, std::uint32_t slot, int colour) {
  const StripGrid::Strip& strip = grid.strips[slot];
  return ((strip.y + strip.z + colour) & 1) != 0;
}

// Sum over the faces of c u_j.
HWY_INLINE F pull(const OperatorView& a, const HalfStrip& at, std::size_t i, const float* u) {
  const Lanes d;
  F one = hn::Mul(hn::Load(d, a.x + at.here + i), hn::LoadU(d, u + at.x_high + i));
  F two = hn::Mul(hn::LoadU(d, a.x + at.x_low + i), hn::LoadU(d, u + at.x_low + i));
  one = hn::MulAdd(hn::Load(d, a.y + at.here + i), hn::Load(d, u + at.y_high + i), one);
  two = hn::MulAdd(hn::Load(d, a.y + at.y_low + i), hn::Load(d, u + at.y_low + i), two);
  one = hn::MulAdd(hn::Load(d, a.z + at.here + i), hn::Load(d, u + at.z_high + i), one);
  two = hn::MulAdd(hn::Load(d, a.z + at.z_low + i), hn::Load(d, u + at.z_low + i), two);
  return hn::Add(one, two);
}

// Sum over the faces of c (u_i - u_j): small differences of neighbours keep their digits.
HWY_INLINE F outflow(const OperatorView& a, const HalfStrip& at, std::size_t i, const float* u) {
  const Lanes d;
  const F here = hn::Load(d, u + at.here + i);
  F one = hn::Mul(hn::Load(d, a.x + at.here + i), hn::Sub(here, hn::LoadU(d, u + at.x_high + i)));
  F two = hn::Mul(hn::LoadU(d, a.x + at.x_low + i), hn::Sub(here, hn::LoadU(d, u + at.x_low + i)));
  one = hn::MulAdd(hn::Load(d, a.y + at.here + i), hn::Sub(here, hn::Load(d, u + at.y_high + i)), one);
  two = hn::MulAdd(hn::Load(d, a.y + at.y_low + i), hn::Sub(here, hn::Load(d, u + at.y_low + i)), two);
  one = hn::MulAdd(hn::Load(d, a.z + at.here + i), hn::Sub(here, hn::Load(d, u + at.z_high + i)), one);
  two = hn::MulAdd(hn::Load(d, a.z + at.z_low + i), hn::Sub(here, hn::Load(d, u + at.z_low + i)), two);
  return hn::Add(one, two);
}

void Relax(const OperatorView& a, SlotRun run, int colour, const float* f, float* u) {
  const Lanes d;
  for (std::uint32_t slot = run.first; slot < run.last; ++slot) {
    const HalfStrip at = half_strip(*a.grid, slot, is_odd(*a.grid, slot, colour));
    for (std::size_t i = 0; i < eight; i += hn::Lanes(d)) {
      const F sum = hn::Add(hn::Load(d, f + at.here + i), pull(a, at, i, u));
      hn::Store(hn::Mul(sum, hn::Load(d, a.inverse + at.here + i)), d, u + at.here + i);
    }
  }
}

void RelaxFromNothing(const OperatorView& a, SlotRun run, int colour, const float* f, float* u) {
  const Lanes d;
  const std::size_t half = a.grid->odd_half();
  for (std::uint32_t slot = run.first; slot < run.last; ++slot) {
    const bool odd = is_odd(*a.grid, slot, colour);
    const std::size_t here = slot * eight + (odd ? half : 0), other = slot * eight + (odd ? 0 : half);
    for (std::size_t i = 0; i < eight; i += hn::Lanes(d)) {
      hn::Store(hn::Mul(hn::Load(d, f + here + i), hn::Load(d, a.inverse + here + i)), d, u + here + i);
      hn::Store(hn::Zero(d), d, u + other + i);
    }
  }
}

double Apply(const OperatorView& a, SlotRun run, const float* p, float* q) {
  const Lanes d;
  F sum = hn::Zero(d);
  for (std::uint32_t slot = run.first; slot < run.last; ++slot)
    for (const bool odd : {false, true}) {
      const HalfStrip at = half_strip(*a.grid, slot, odd);
      for (std::size_t i = 0; i < eight; i += hn::Lanes(d)) {
        const F out = outflow(a, at, i, p);
        hn::Store(out, d, q + at.here + i);
        sum = hn::MulAdd(out, hn::Load(d, p + at.here + i), sum);
      }
    }
  return static_cast<double>(hn::GetLane(hn::SumOfLanes(d, sum)));
}

// Sums over children while they are gathered, for the sixteen cells of a coarse strip in the order of x.
struct GatheredSums {
  HWY_ALIGN float all[16] = {}, low_x[16] = {}, low_y[16] = {}, low_z[16] = {};
};

HWY_INLINE void gather(const OperatorView& fine, std::uint32_t slot, int child, int colour, const float* f,
                       const float* u, GatheredSums& sums) {
  const Lanes d;
  const bool odd = is_odd(*fine.grid, slot, colour);
  const HalfStrip at = half_strip(*fine.grid, slot, odd);
  const auto add = [&](float* to, F value) HWY_ATTR { hn::Store(hn::Add(hn::Load(d, to), value), d, to); };
  for (std::size_t i = 0; i < eight; i += hn::Lanes(d)) {
    const std::size_t to = static_cast<std::size_t>(child & 1) * eight + i;
    const F residual = hn::Sub(hn::Load(d, f + at.here + i), outflow(fine, at, i, u));
    add(sums.all + to, residual);
    if (!odd) add(sums.low_x + to, residual);
    if ((child & 2) == 0) add(sums.low_y + to, residual);
    if ((child & 4) == 0) add(sums.low_z + to, residual);
  }
}

// From the order of x to the two halves of a strip.
HWY_INLINE void store_halves(const float* from, std::size_t even, std::size_t odd, float* to) {
  const Lanes d;
  for (std::size_t i = 0; i < eight; i += hn::Lanes(d)) {
    F low, high;
    hn::LoadInterleaved2(d, from + 2 * i, low, high);
    hn::Store(low, d, to + even + i);
    hn::Store(high, d, to + odd + i);
  }
}

void SumResiduals(const OperatorView& fine, const StripGrid& coarse, SlotRun coarse_run, int colour,
                  const float* f, const float* u, const ChildSums& sums) {
  for (std::uint32_t slot = coarse_run.first; slot < coarse_run.last; ++slot) {
    const StripGrid::Strip& strip = coarse.strips[slot];
    GatheredSums gathered;
    for (int child = 0; child < 8; ++child) {
      const std::uint32_t s = fine.grid->slot(2 * strip.x + (child & 1), 2 * strip.y + (child >> 1 & 1),
                                              2 * strip.z + (child >> 2));
      if (s != 0) gather(fine, s, child, colour, f, u, gathered);
    }
    const std::size_t even = slot * eight, odd = even + coarse.odd_half();
    store_halves(gathered.all, even, odd, sums.all);
    store_halves(gathered.low_x, even, odd, sums.low_x);
    store_halves(gathered.low_y, even, odd, sums.low_y);
    store_halves(gathered.low_z, even, odd, sums.low_z);
  }
}

// What crosses the coarse face held at `holder`: a quarter of the difference between the children on its
// sides.
HWY_INLINE F across(const float* conductance, const float* all, const float* low, std::size_t holder,
                    std::size_t other) {
  const Lanes d;
  const F high = hn::Sub(hn::LoadU(d, all + holder), hn::LoadU(d, low + holder));
  const F difference = hn::Mul(hn::Set(d, 0.25f), hn::Sub(high, hn::LoadU(d, low + other)));
  return hn::IfThenElseZero(hn::Gt(hn::LoadU(d, conductance + holder), hn::Zero(d)), difference);
}

void SpreadChildSums(const OperatorView& coarse, SlotRun run, const ChildSums& sums, float* f) {
  const Lanes d;
  for (std::uint32_t slot = run.first; slot < run.last; ++slot)
    for (const bool odd : {false, true}) {
      const HalfStrip at = half_strip(*coarse.grid, slot, odd);
      for (std::size_t i = 0; i < eight; i += hn::Lanes(d)) {
        const std::size_t c = at.here + i;
        F sum = hn::Load(d, sums.all + c);
        sum = hn::Sub(sum, across(coarse.x, sums.all, sums.low_x, c, at.x_high + i));
        sum = hn::Add(sum, across(coarse.x, sums.all, sums.low_x, at.x_low + i, c));
        sum = hn::Sub(sum, across(coarse.y, sums.all, sums.low_y, c, at.y_high + i));
        sum = hn::Add(sum, across(coarse.y, sums.all, sums.low_y, at.y_low + i, c));
        sum = hn::Sub(sum, across(coarse.z, sums.all, sums.low_z, c, at.z_high + i));
        sum = hn::Add(sum, across(coarse.z, sums.all, sums.low_z, at.z_low + i, c));
        hn::Store(sum, d, f + c);
      }
    }
}

// A quarter of the way to the neighbour, where the face leads there.
HWY_INLINE F towards(const float* conductance, std::size_t holder, const float* u, std::size_t other,
                     F here) {
  const Lanes d;
  const auto open = hn::Gt(hn::LoadU(d, conductance + holder), hn::Zero(d));
  const F step = hn::Mul(hn::Set(d, 0.25f), hn::Sub(hn::LoadU(d, u + other), here));
  return hn::IfThenElseZero(open, step);
}

// Corrections for the children of one coarse strip that share y and z, in the order of coarse x: for those of
// even and those of odd x.
struct Corrections {
  HWY_ALIGN float even[16], odd[16];
};

HWY_INLINE void correct(const OperatorView& coarse, std::uint32_t slot, bool high_y, bool high_z,
                        const float* u, Corrections& corrections) {
  const Lanes d;
  const HalfStrip low = half_strip(*coarse.grid, slot, false), high = half_strip(*coarse.grid, slot, true);
  for (std::size_t i = 0; i < eight; i += hn::Lanes(d)) {
    F child[2][2];
    for (const bool odd : {false, true}) {
      const HalfStrip& at = odd ? high : low;
      const F here = hn::Load(d, u + at.here + i);
      const F along_y = high_y ? towards(coarse.y, at.here + i, u, at.y_high + i, here)
                               : towards(coarse.y, at.y_low + i, u, at.y_low + i, here);
      const F along_z = high_z ? towards(coarse.z, at.here + i, u, at.z_high + i, here)
                               : towards(coarse.z, at.z_low + i, u, at.z_low + i, here);
      const F base = hn::Add(here, hn::Add(along_y, along_z));
      child[0][odd] = hn::Add(base, towards(coarse.x, at.x_low + i, u, at.x_low + i, here));
      child[1][odd] = hn::Add(base, towards(coarse.x, at.here + i, u, at.x_high + i, here));
    }
    hn::StoreInterleaved2(child[0][0], child[0][1], d, corrections.even + 2 * i);
    hn::StoreInterleaved2(child[1][0], child[1][1], d, corrections.odd + 2 * i);
  }
}

void AddCorrection(const StripGrid& fine, const OperatorView& coarse, SlotRun coarse_run, int fine_z,
                   const float* coarse_u, float* u) {
  const Lanes d;
  Corrections corrections;
  for (std::uint32_t slot = coarse_run.first; slot < coarse_run.last; ++slot) {
    const StripGrid::Strip& strip = coarse.grid->strips[slot];
    for (int high_y = 0; high_y < 2; ++high_y) {
      correct(coarse, slot, high_y != 0, (fine_z & 1) != 0, coarse_u, corrections);
      for (int part = 0; part < 2; ++part) {
        const std::uint32_t s = fine.slot(2 * strip.x + part, 2 * strip.y + high_y, fine_z);
        if (s == 0) continue;
        for (std::size_t i = 0; i < eight; i += hn::Lanes(d)) {
          const std::size_t from = static_cast<std::size_t>(part) * eight + i;
          float* even = u + s * eight + i;
          float* odd = even + fine.odd_half();
          hn::Store(hn::Add(hn::Load(d, even), hn::Load(d, corrections.even + from)), d, even);
          hn::Store(hn::Add(hn::Load(d, odd), hn::Load(d, corrections.odd + from)), d, odd);
        }
      }
    }
  }
}

// The two stretches of memory that hold a run of strips.
template <typename Work>
HWY_INLINE void each_half(const OperatorView& a, SlotRun run, const Work& work) {
  const std::size_t first = run.first * eight, last = run.last * eight, half = a.grid->odd_half();
  work(first, last);
  work(first + half, last + half);
}

void StepDirection(const OperatorView& a, SlotRun run, const float* z, float beta, float* p) {
  const Lanes d;
  const F scale = hn::Set(d, beta);
  each_half(a, run, [&](std::size_t first, std::size_t last) HWY_ATTR {
    for (std::size_t c = first; c < last; c += hn::Lanes(d))
      hn::Store(hn::MulAdd(scale, hn::Load(d, p + c), hn::Load(d, z + c)), d, p + c);
  });
}

double Advance(const OperatorView& a, SlotRun run, double alpha, const float* p, double* u, float alpha_r,
               const float* q, float* r) {
  const Lanes d;
  const Doubles dd;
  const Narrow dn;
  const F scale = hn::Set(d, alpha_r);
  const D scale_u = hn::Set(dd, alpha);
  F sum = hn::Zero(d);
  each_half(a, run, [&](std::size_t first, std::size_t last) HWY_ATTR {
    for (std::size_t c = first; c < last; c += hn::Lanes(dd)) {
      const D step = hn::PromoteTo(dd, hn::Load(dn, p + c));
      hn::StoreU(hn::MulAdd(scale_u, step, hn::LoadU(dd, u + c)), dd, u + c);
    }
    for (std::size_t c = first; c < last; c += hn::Lanes(d)) {
      const F left = hn::NegMulAdd(scale, hn::Load(d, q + c), hn::Load(d, r + c));
      hn::Store(left, d, r + c);
      sum = hn::MulAdd(left, left, sum);
    }
  });
  return static_cast<double>(hn::GetLane(hn::SumOfLanes(d, sum)));
}

double Dot(const OperatorView& a, SlotRun run, const float* left, const float* right) {
  const Lanes d;
  F sum = hn::Zero(d);
  each_half(a, run, [&](std::size_t first, std::size_t last) HWY_ATTR {
    for (std::size_t c = first; c < last; c += hn::Lanes(d))
      sum = hn::MulAdd(hn::Load(d, left + c), hn::Load(d, right + c), sum);
  });
  return static_cast<double>(hn::GetLane(hn::SumOfLanes(d, sum)));
}

HWY_INLINE D inflow(const float* conductance, std::size_t holder, const double* u, std::size_t other, D here,
                    D sum) {
  const Doubles d;
  const Narrow dn;
  const D c = hn::PromoteTo(d, hn::LoadU(dn, conductance + holder));
  return hn::MulAdd(c, hn::Sub(hn::LoadU(d, u + other), here), sum);
}

void TrueResidual(const OperatorView& a, SlotRun run, const double* b, const double* u, float* r) {
  const Doubles d;
  const Narrow dn;
  for (std::uint32_t slot = run.first; slot < run.last; ++slot)
    for (const bool odd : {false, true}) {
      const HalfStrip at = half_strip(*a.grid, slot, odd);
      for (std::size_t i = 0; i < eight; i += hn::Lanes(d)) {
        const std::size_t c = at.here + i;
        const D here = hn::LoadU(d, u + c);
        D sum = b != nullptr ? hn::LoadU(d, b + c) : hn::Zero(d);
        sum = inflow(a.x, c, u, at.x_high + i, here, sum);
        sum = inflow(a.x, at.x_low + i, u, at.x_low + i, here, sum);
        sum = inflow(a.y, c, u, at.y_high + i, here, sum);
        sum = inflow(a.y, at.y_low + i, u, at.y_low + i, here, sum);
        sum = inflow(a.z, c, u, at.z_high + i, here, sum);
        sum = inflow(a.z, at.z_low + i, u, at.z_low + i, here, sum);
        hn::Store(hn::DemoteTo(dn, sum), dn, r + c);
      }
    }
}

}  // namespace boxfettle::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace boxfettle {

HWY_EXPORT(Relax);
HWY_EXPORT(RelaxFromNothing);
HWY_EXPORT(SumResiduals);
HWY_EXPORT(SpreadChildSums);
HWY_EXPORT(AddCorrection);
HWY_EXPORT(Apply);
HWY_EXPORT(StepDirection);
HWY_EXPORT(Advance);
HWY_EXPORT(Dot);
HWY_EXPORT(TrueResidual);

void relax(const OperatorView& a, SlotRun run, int colour, const float* f, float* u) {
  HWY_DYNAMIC_DISPATCH(Relax)(a, run, colour, f, u);
}

void relax_from_nothing(const OperatorView& a, SlotRun run, int colour, const float* f, float* u) {
  HWY_DYNAMIC_DISPATCH(RelaxFromNothing)(a, run, colour, f, u);
}

void sum_residuals(const OperatorView& fine, const StripGrid& coarse, SlotRun coarse_run, int colour,
                   const float* f, const float* u, const ChildSums& sums) {
  HWY_DYNAMIC_DISPATCH(SumResiduals)(fine, coarse, coarse_run, colour, f, u, sums);
}

void spread_child_sums(const OperatorView& coarse, SlotRun coarse_run, const ChildSums& sums, float* f) {
  HWY_DYNAMIC_DISPATCH(SpreadChildSums)(coarse, coarse_run, sums, f);
}

void add_correction(const StripGrid& fine, const OperatorView& coarse, SlotRun coarse_run, int fine_z,
                    const float* coarse_u, float* u) {
  HWY_DYNAMIC_DISPATCH(AddCorrection)(fine, coarse, coarse_run, fine_z, coarse_u, u);
}

double apply(const OperatorView& a, SlotRun run, const float* p, float* q) {
  return HWY_DYNAMIC_DISPATCH(Apply)(a, run, p, q);
}

void step_direction(const OperatorView& a, SlotRun run, const float* z, float beta, float* p) {
  HWY_DYNAMIC_DISPATCH(StepDirection)(a, run, z, beta, p);
}

double advance(const OperatorView& a, SlotRun run, double alpha, const float* p, double* u, float alpha_r,
               const float* q, float* r) {
  return HWY_DYNAMIC_DISPATCH(Advance)(a, run, alpha, p, u, alpha_r, q, r);
}

double dot(const OperatorView& a, SlotRun run, const float* left, const float* right) {
  return HWY_DYNAMIC_DISPATCH(Dot)(a, run, left, right);
}

void true_residual(const OperatorView& a, SlotRun run, const double* b, const double* u, float* r) {
  HWY_DYNAMIC_DISPATCH(TrueResidual)(a, run, b, u, r);
}

}  // namespace boxfettle
#endif  // HWY_ONCE
