// The inner loops of the grid solver, on runs of strips (geometry/strip_grid.hpp), in vectors as wide as the
// machine has. flow/grid_solver.hpp says what they are for.
//
// Every operator here is: (A u)_i = sum over the six faces of c (u_i - u_j), and g u_i where a well stands.
// Wells are few and are added by the caller, but `inverse` holds them.
#pragma once

#include <cstdint>
#include <vector>

#include "geometry/strip_grid.hpp"

namespace boxfettle {

// A face's conductance stands with the cell on its low side.
struct OperatorView {
  const StripGrid* grid;
  const float *x, *y, *z;
  const float* inverse;  // 1 / (sum of faces + well); 0 for a cell without any
};

struct SlotRun {
  std::uint32_t first, last;  // last excluded
};

// Gauss-Seidel on the cells of one colour, (x + y + z) mod 2.
void relax(const OperatorView& a, SlotRun run, int colour, const float* f, float* u);

// The same from u = 0: cells of the colour get f / diagonal, the others 0.
void relax_from_nothing(const OperatorView& a, SlotRun run, int colour, const float* f, float* u);

// Child sums for the coarse strips of `coarse_run`: of all eight children's residuals (without wells), and of
// those four on the low side of x, y and z. Only cells of `colour` are asked: right after the other's
// relaxation the others have none.
struct ChildSums {
  float *all, *low_x, *low_y, *low_z;
};
void sum_residuals(const OperatorView& fine, const StripGrid& coarse, SlotRun coarse_run, int colour,
                   const float* f, const float* u, const ChildSums& sums);

// The transpose of `add_correction`: from child sums to the coarse right-hand side.
void spread_child_sums(const OperatorView& coarse, SlotRun coarse_run, const ChildSums& sums, float* f);

// u += the coarse u, interpolated: a quarter of the way towards the coarse neighbours on the child's side in
// each direction, where a face leads there. Exact for linear functions in the open.
// On plane `fine_z`, for the children of the coarse strips of `coarse_run`.
void add_correction(const StripGrid& fine, const OperatorView& coarse, SlotRun coarse_run, int fine_z,
                    const float* coarse_u, float* u);

// q = A p (without wells) and p . q over the run.
double apply(const OperatorView& a, SlotRun run, const float* p, float* q);

// p = z + beta p.
void step_direction(const OperatorView& a, SlotRun run, const float* z, float beta, float* p);

// u += alpha p in double, r -= alpha_r q; returns r . r.
double advance(const OperatorView& a, SlotRun run, double alpha, const float* p, double* u, float alpha_r,
               const float* q, float* r);

double dot(const OperatorView& a, SlotRun run, const float* left, const float* right);

// r = b - A u (without wells), computed in double and rounded once; b may be null for nothing.
void true_residual(const OperatorView& a, SlotRun run, const double* b, const double* u, float* r);

}  // namespace boxfettle
