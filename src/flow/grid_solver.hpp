// Pressures on a grid: the balance of what flows between cells, and through wells, solved for every cell.
//
//   for every cell i:  sum over faces of c_ij (u_i - u_j) + g_i (u_i - u_there) = source_i
//
// Method: conjugate gradients, preconditioned by one multigrid cycle, in single precision around a residual
// in double precision that is taken anew from the equations. The cycle: red-black Gauss-Seidel down and back;
// coarse grids of cells twice as large whose faces conduct half the sum of the fine ones (what averaging the
// conductance over the larger face gives); corrections interpolated towards the neighbours that a face leads
// to, right-hand sides carried down by the transpose, so that the cycle stays symmetric; Cholesky on the
// coarsest. docs/how/gas-solver.md has the reasons. The answer does not depend on the number of threads.
#pragma once

#include <tbb/cache_aligned_allocator.h>

#include <array>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "geometry/strip_grid.hpp"

namespace boxfettle {

template <typename T>
using GridValues = std::vector<T, tbb::cache_aligned_allocator<T>>;  // one to a cell, as StripGrid lays them

// Conductances of the faces towards +x, +y, +z, none negative; 0 where no cell is.
using FaceConductances = std::array<GridValues<float>, 3>;

// A cell's conductance to a place of given pressure: a vent, an inlet.
struct Well {
  std::uint32_t cell;
  double conductance;
};

struct Source {
  std::uint32_t cell;
  double rate;  // of a well: conductance times the pressure at its other end
};

struct SolveSettings {
  double relative_residual = 1e-9;  // of |b - A u| to |b|, both Euclidean, true residual in double
  int most_iterations = 200;
};

struct SolveReport {
  bool converged = false;
  int iterations = 0;  // of conjugate gradients
  double relative_residual = 0;
};

class GridSolver {
 public:
  // Every part of the grid that faces tie together needs a well; cells without any face or well are left
  // alone. `grid` must outlive the solver.
  GridSolver(const StripGrid& grid, FaceConductances faces, std::vector<Well> wells);
  ~GridSolver();
  GridSolver(GridSolver&&) noexcept;

  // Other wells on the same faces cost next to nothing. Other faces cost a set-up, without new memory.
  void set_wells(std::vector<Well> wells);
  void set_faces(FaceConductances faces);
  const FaceConductances& faces() const;
  FaceConductances take_faces();  // to refill and set again

  // `u` holds a first guess (zeros will do) and then the answer.
  SolveReport solve(std::span<const Source> sources, std::span<double> u, const SolveSettings& settings = {});
  SolveReport solve(std::span<const double> right_hand_side, std::span<double> u,
                    const SolveSettings& settings = {});

  // Held by the solver itself, without u and the grid.
  std::size_t bytes() const;
  // Moved through memory by one iteration when every array is fetched once a sweep: for the bandwidth bound.
  double bytes_per_iteration() const;

 private:
  struct Levels;
  std::unique_ptr<Levels> levels_;
};

}  // namespace boxfettle
