#include "flow/grid_levels.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <map>

#include "flow/plane_waves.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t coarsest_at_most = 200;
// Relaxations down, and as many up. One on the fine grid takes twice the iterations of two (measured). Coarse
// cells follow a thin wall badly; sweeping there more often mends that and costs little.
int sweeps_at(std::size_t level) {
  constexpr std::array sweeps{2, 3, 6, 10};
  return sweeps[std::min(level, sweeps.size() - 1)];
}
constexpr int red = 0;

double face_sum(const GridLevel& level, std::uint32_t cell) {
  double sum = 0;
  for (const StripGrid::Face& face : level.grid->faces(cell))
    sum += static_cast<double>(level.faces[static_cast<std::size_t>(face.axis)][face.holder]);
  return sum;
}

float inverse_of(double diagonal) {
  return diagonal > 0 ? static_cast<float>(1 / diagonal) : 0.0f;
}

std::vector<Well> one_to_a_cell(std::vector<Well> wells) {
  std::map<std::uint32_t, double> by_cell;
  for (const Well& well : wells) by_cell[well.cell] += well.conductance;
  wells.clear();
  for (const auto& [cell, conductance] : by_cell) wells.push_back({cell, conductance});
  return wells;
}

// The wells of a grid as its coarser grid sees them.
std::vector<Well> coarse_wells(const GridLevel& fine, const GridLevel& coarse) {
  std::vector<Well> wells;
  for (const Well& well : fine.wells) {
    const auto at = fine.grid->place(well.cell);
    wells.push_back({coarse.grid->cell(at[0] / 2, at[1] / 2, at[2] / 2), well.conductance});
  }
  return one_to_a_cell(std::move(wells));
}

// Half the sum of the fine faces that make up a coarse one.
void fill_strip(const GridLevel& fine, GridLevel& coarse, std::uint32_t slot) {
  const StripGrid::Strip& strip = coarse.grid->strips[slot];
  const std::uint32_t odd = fine.grid->odd_half();
  std::array<std::array<float, 16>, 3> sums{};
  for (int child = 0; child < 8; ++child) {
    const bool high_y = (child & 2) != 0, high_z = (child & 4) != 0;
    const std::uint32_t s =
        fine.grid->slot(2 * strip.x + (child & 1), 2 * strip.y + high_y, 2 * strip.z + high_z);
    if (s == 0) continue;
    const std::size_t part = static_cast<std::size_t>(child & 1) * 8;
    for (std::size_t i = 0; i < 8; ++i) {
      const std::size_t even = s * 8 + i;
      sums[0][part + i] += 0.5f * fine.faces[0][even + odd];
      if (high_y) sums[1][part + i] += 0.5f * (fine.faces[1][even] + fine.faces[1][even + odd]);
      if (high_z) sums[2][part + i] += 0.5f * (fine.faces[2][even] + fine.faces[2][even + odd]);
    }
  }
  for (std::size_t axis = 0; axis < 3; ++axis)
    for (std::uint32_t lane = 0; lane < 16; ++lane)
      coarse.faces[axis][coarse.grid->cell_in(slot, lane)] = sums[axis][lane];
}

void set_diagonal(GridLevel& level) {
  tbb::parallel_for(std::uint32_t{1}, static_cast<std::uint32_t>(level.grid->strips.size()),
                    [&](std::uint32_t slot) {
                      for (std::uint32_t lane = 0; lane < 16; ++lane) {
                        const std::uint32_t c = level.grid->cell_in(slot, lane);
                        level.inverse[c] = inverse_of(face_sum(level, c));
                      }
                    });
  for (const Well& well : level.wells)
    level.inverse[well.cell] = inverse_of(face_sum(level, well.cell) + well.conductance);
}

// What flows into wells is missing from the residuals that were summed up: `red` cells are still owed it.
void take_out_wells(const GridLevel& fine, const GridLevel& coarse, const float* u, const ChildSums& sums) {
  const std::array low{sums.low_x, sums.low_y, sums.low_z};
  for (const Well& well : fine.wells) {
    const auto at = fine.grid->place(well.cell);
    if ((at[0] + at[1] + at[2]) % 2 != red) continue;
    const std::uint32_t parent = coarse.grid->cell(at[0] / 2, at[1] / 2, at[2] / 2);
    const float out = static_cast<float>(well.conductance) * u[well.cell];
    sums.all[parent] -= out;
    for (std::size_t axis = 0; axis < 3; ++axis)
      if (at[axis] % 2 == 0) low[axis][parent] -= out;
  }
}

}  // namespace

GridLevels::GridLevels(const StripGrid& grid, FaceConductances faces, std::vector<Well> wells) {
  levels_.emplace_back();
  levels_[0].grid = &grid;
  levels_[0].faces = std::move(faces);
  levels_[0].inverse.assign(grid.value_count(), 0);
  while (levels_.back().grid->strips.size() * 16 > coarsest_at_most &&
         std::max({levels_.back().grid->strips_along_x(), levels_.back().grid->cells[1],
                   levels_.back().grid->cells[2]}) > 2) {
    coarse_grids_.push_back(std::make_unique<StripGrid>(coarser(*levels_.back().grid)));
    GridLevel coarse;
    coarse.grid = coarse_grids_.back().get();
    const std::size_t count = coarse.grid->value_count();
    for (GridValues<float>* values :
         {&coarse.faces[0], &coarse.faces[1], &coarse.faces[2], &coarse.inverse, &coarse.u, &coarse.f})
      values->assign(count, 0);
    levels_.push_back(std::move(coarse));
  }
  std::size_t room = 0;
  for (std::size_t l = 1; l < levels_.size(); ++l) room = std::max(room, 4 * levels_[l].grid->value_count());
  sums_.assign(room, 0);
  levels_[0].wells = one_to_a_cell(std::move(wells));
  fill_coarse_faces();
  set_diagonals();
}

// The sums of one level are used up before the next level's are made: all share one room. What stands there
// for the strip of nothing, and behind the last strip, must read as nothing.
ChildSums GridLevels::child_sums(const GridLevel& coarse) {
  const auto count = static_cast<std::ptrdiff_t>(coarse.grid->value_count());
  const std::ptrdiff_t odd = coarse.grid->odd_half();
  constexpr std::ptrdiff_t strip = StripGrid::half_length;
  for (std::ptrdiff_t start = 0; start < 4 * count; start += count) {
    const auto values = sums_.begin() + start;
    std::fill(values, values + strip, 0.0f);
    std::fill(values + odd - strip, values + odd + strip, 0.0f);
    std::fill(values + count - strip, values + count, 0.0f);
  }
  float* first = sums_.data();
  return {first, first + count, first + 2 * count, first + 3 * count};
}

void GridLevels::set_faces(FaceConductances faces) {
  levels_[0].faces = std::move(faces);
  fill_coarse_faces();
  set_diagonals();
}

void GridLevels::set_wells(std::vector<Well> wells) {
  for (GridLevel& level : levels_)
    for (const Well& well : level.wells) level.inverse[well.cell] = inverse_of(face_sum(level, well.cell));
  levels_[0].wells = one_to_a_cell(std::move(wells));
  for (std::size_t l = 1; l < levels_.size(); ++l)
    levels_[l].wells = coarse_wells(levels_[l - 1], levels_[l]);
  for (GridLevel& level : levels_)
    for (const Well& well : level.wells)
      level.inverse[well.cell] = inverse_of(face_sum(level, well.cell) + well.conductance);
  factorise_coarsest();
}

void GridLevels::fill_coarse_faces() {
  for (std::size_t l = 1; l < levels_.size(); ++l)
    tbb::parallel_for(std::uint32_t{1}, static_cast<std::uint32_t>(levels_[l].grid->strips.size()),
                      [&](std::uint32_t slot) { fill_strip(levels_[l - 1], levels_[l], slot); });
}

void GridLevels::set_diagonals() {
  for (std::size_t l = 1; l < levels_.size(); ++l)
    levels_[l].wells = coarse_wells(levels_[l - 1], levels_[l]);
  for (GridLevel& level : levels_) set_diagonal(level);
  factorise_coarsest();
}

void GridLevels::factorise_coarsest() {
  const GridLevel& level = levels_.back();
  coarsest_cells_.clear();
  for (std::uint32_t c = 0; c < level.inverse.size(); ++c)
    if (level.inverse[c] > 0) coarsest_cells_.push_back(c);
  const auto place = [&](std::uint32_t cell) {
    return std::lower_bound(coarsest_cells_.begin(), coarsest_cells_.end(), cell) - coarsest_cells_.begin();
  };
  const auto count = static_cast<Eigen::Index>(coarsest_cells_.size());
  Eigen::MatrixXd matrix = Eigen::MatrixXd::Zero(count, count);
  for (Eigen::Index row = 0; row < count; ++row)
    for (const StripGrid::Face& face : level.grid->faces(coarsest_cells_[static_cast<std::size_t>(row)])) {
      const auto c = static_cast<double>(level.faces[static_cast<std::size_t>(face.axis)][face.holder]);
      if (c == 0) continue;
      matrix(row, row) += c;
      matrix(row, place(face.other)) -= c;
    }
  for (const Well& well : level.wells) matrix(place(well.cell), place(well.cell)) += well.conductance;
  // A part without wells would make the matrix singular; the callers' promise says there is none. What
  // rounding could still upset is held by a trace of a well everywhere.
  matrix.diagonal() *= 1 + 1e-12;
  coarsest_.compute(matrix);
}

void GridLevels::solve_coarsest(const float* f, float* u) const {
  Eigen::VectorXd right(static_cast<Eigen::Index>(coarsest_cells_.size()));
  for (std::size_t i = 0; i < coarsest_cells_.size(); ++i)
    right[static_cast<Eigen::Index>(i)] = static_cast<double>(f[coarsest_cells_[i]]);
  const Eigen::VectorXd answer = coarsest_.solve(right);
  for (std::size_t i = 0; i < coarsest_cells_.size(); ++i)
    u[coarsest_cells_[i]] = static_cast<float>(answer[static_cast<Eigen::Index>(i)]);
}

// Relax red and black from nothing, twice, and hand what is left to the coarser grid.
void GridLevels::go_down(std::size_t level, const float* f, float* u) {
  GridLevel& fine = levels_[level];
  GridLevel& coarse = levels_[level + 1];
  const ChildSums sums = child_sums(coarse);
  const int sweeps = sweeps_at(level);
  const OperatorView a = fine.view();
  sweep_planes(fine.planes(), 2 * sweeps + 1, [&](int stage, int plane) {
    if (stage == 0)
      relax_from_nothing(a, fine.plane(plane), red, f, u);
    else if (stage < 2 * sweeps)
      relax(a, fine.plane(plane), stage % 2, f, u);
    else if (plane % 2 == 1 || plane + 1 == fine.planes())
      sum_residuals(a, *coarse.grid, coarse.plane(plane / 2), red, f, u, sums);
  });
  take_out_wells(fine, coarse, u, sums);
  sweep_planes(coarse.planes(), 1, [&](int, int plane) {
    spread_child_sums(coarse.view(), coarse.plane(plane), sums, coarse.f.data());
  });
}

// Take the coarser grid's correction and relax black and red: the mirror image of going down.
double GridLevels::come_up(std::size_t level, const float* f, float* u) {
  const GridLevel& fine = levels_[level];
  const GridLevel& coarse = levels_[level + 1];
  const int sweeps = sweeps_at(level);
  const OperatorView a = fine.view();
  std::vector<double> products(static_cast<std::size_t>(fine.planes()));
  sweep_planes(fine.planes(), 2 * sweeps + 2, [&](int stage, int plane) {
    const SlotRun run = fine.plane(plane);
    if (stage == 0)
      add_correction(*fine.grid, coarse.view(), coarse.plane(plane / 2), plane, coarse.u.data(), u);
    else if (stage <= 2 * sweeps)
      relax(a, run, stage % 2, f, u);
    else if (level == 0)
      products[static_cast<std::size_t>(plane)] = dot(a, run, f, u);
  });
  double product = 0;
  for (const double of_plane : products) product += of_plane;
  return product;
}

void GridLevels::cycle_at(std::size_t level, const float* f, float* u, double* product) {
  if (level + 1 == levels_.size()) {
    solve_coarsest(f, u);
    const auto slots = static_cast<std::uint32_t>(levels_[0].grid->strips.size());
    if (level == 0) *product = dot(levels_[0].view(), {1, slots}, f, u);
    return;
  }
  go_down(level, f, u);
  cycle_at(level + 1, levels_[level + 1].f.data(), levels_[level + 1].u.data(), product);
  const double here = come_up(level, f, u);
  if (level == 0) *product = here;
}

double GridLevels::cycle(const float* r, float* z) {
  double product = 0;
  cycle_at(0, r, z, &product);
  return product;
}

}  // namespace boxfettle
