// The grids of one multigrid cycle, fine to coarse, and the cycle itself.
#pragma once

#include <Eigen/Cholesky>
#include <memory>
#include <vector>

#include "flow/grid_solver.hpp"
#include "flow/strip_kernels.hpp"

namespace boxfettle {

struct GridLevel {
  const StripGrid* grid = nullptr;
  FaceConductances faces;
  GridValues<float> inverse;  // 1 / (sum of faces + wells)
  std::vector<Well> wells;    // one to a cell
  GridValues<float> u, f;     // coarse grids only

  OperatorView view() const {
    return {grid, faces[0].data(), faces[1].data(), faces[2].data(), inverse.data()};
  }
  SlotRun plane(int z) const {
    return {grid->plane_start[static_cast<std::size_t>(z)],
            grid->plane_start[static_cast<std::size_t>(z) + 1]};
  }
  int planes() const { return grid->cells[2]; }
};

class GridLevels {
 public:
  GridLevels(const StripGrid& grid, FaceConductances faces, std::vector<Well> wells);

  void set_wells(std::vector<Well> wells);
  void set_faces(FaceConductances faces);
  FaceConductances take_faces() { return std::move(levels_.front().faces); }

  // One symmetric cycle from nothing: z approximates the solution of A z = r. Returns r . z.
  double cycle(const float* r, float* z);

  const GridLevel& fine() const { return levels_.front(); }
  const std::vector<GridLevel>& levels() const { return levels_; }

  std::size_t sums_room() const { return sums_.size(); }  // values held beside the levels'

 private:
  ChildSums child_sums(const GridLevel& coarse);
  void go_down(std::size_t level, const float* f, float* u);
  double come_up(std::size_t level, const float* f, float* u);
  void cycle_at(std::size_t level, const float* f, float* u, double* product);
  void fill_coarse_faces();
  void set_diagonals();
  void factorise_coarsest();
  void solve_coarsest(const float* f, float* u) const;

  std::vector<std::unique_ptr<StripGrid>> coarse_grids_;
  std::vector<GridLevel> levels_;
  GridValues<float> sums_;  // of going down, one level after the other
  std::vector<std::uint32_t> coarsest_cells_;
  Eigen::LLT<Eigen::MatrixXd> coarsest_;
};

}  // namespace boxfettle
