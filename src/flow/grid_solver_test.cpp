#include "flow/grid_solver.hpp"

#include <gmock/gmock.h>
#include <tbb/global_control.h>

#include <Eigen/SparseCholesky>
#include <random>

#include "flow/grid_levels.hpp"

namespace boxfettle {
namespace {

// A ring of packed sand of uneven permeability, with wells here and there.
struct Ring {
  StripGrid grid;
  FaceConductances faces;
  std::vector<Well> wells;
  std::vector<Source> sources;
  std::vector<std::uint32_t> cells;

  explicit Ring(std::array<int, 3> size) {
    const auto inside = [&](int x, int y, int z) {
      const double r = std::hypot(x - 0.5 * size[0] + 0.3, y - 0.5 * size[1]) / size[0];
      return x >= 0 && x < size[0] && y >= 0 && y < size[1] && z >= 0 && z < size[2] && r < 0.48 && r > 0.2;
    };
    std::vector<StripPlace> places;
    for (int z = 0; z < size[2]; ++z)
      for (int y = 0; y < size[1]; ++y)
        for (int x = 0; x < size[0]; x += 16) {
          bool any = false;
          for (int i = 0; i < 16; ++i) any = any || inside(x + i, y, z);
          if (any)
            places.push_back({static_cast<std::uint16_t>(x / 16), static_cast<std::uint16_t>(y),
                              static_cast<std::uint16_t>(z)});
        }
    grid = strip_grid(size, places);
    std::mt19937 dice(7);
    std::uniform_real_distribution<float> conductance(0.05f, 1.0f);
    for (auto& axis : faces) axis.assign(grid.value_count(), 0);
    for (int z = 0; z < size[2]; ++z)
      for (int y = 0; y < size[1]; ++y)
        for (int x = 0; x < size[0]; ++x) {
          if (!inside(x, y, z)) continue;
          const std::uint32_t c = grid.cell(x, y, z);
          cells.push_back(c);
          if (inside(x + 1, y, z)) faces[0][c] = conductance(dice);
          if (inside(x, y + 1, z)) faces[1][c] = conductance(dice);
          if (inside(x, y, z + 1)) faces[2][c] = conductance(dice);
        }
    for (std::size_t i = 0; i < 5; ++i) {
      wells.push_back({cells[(i * 7919) % cells.size()], 0.3 + 0.5 * static_cast<double>(i)});
      sources.push_back({wells.back().cell, wells.back().conductance * static_cast<double>(i)});
    }
  }

  Eigen::VectorXd by_elimination() const {
    std::vector<Eigen::Index> row(grid.value_count(), -1);
    for (std::size_t i = 0; i < cells.size(); ++i) row[cells[i]] = static_cast<Eigen::Index>(i);
    std::vector<Eigen::Triplet<double>> entries;
    for (const std::uint32_t c : cells)
      for (const StripGrid::Face& face : grid.faces(c)) {
        const auto g = static_cast<double>(faces[static_cast<std::size_t>(face.axis)][face.holder]);
        if (g == 0) continue;
        entries.emplace_back(row[c], row[c], g);
        entries.emplace_back(row[c], row[face.other], -g);
      }
    Eigen::VectorXd b = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(cells.size()));
    for (const Well& well : wells) entries.emplace_back(row[well.cell], row[well.cell], well.conductance);
    for (const Source& source : sources) b[row[source.cell]] += source.rate;
    Eigen::SparseMatrix<double> a(b.size(), b.size());
    a.setFromTriplets(entries.begin(), entries.end());
    return Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>>(a).solve(b);
  }
};

TEST(GridSolver, PressuresAreThoseOfElimination) {
  const Ring ring({45, 38, 21});
  GridSolver solver(ring.grid, ring.faces, ring.wells);
  std::vector<double> u(ring.grid.value_count(), 0.0);
  SolveSettings settings;
  settings.relative_residual = 1e-11;
  const SolveReport report = solver.solve(ring.sources, u, settings);
  EXPECT_TRUE(report.converged);
  EXPECT_LE(report.iterations, 20);
  const Eigen::VectorXd truth = ring.by_elimination();
  for (std::size_t i = 0; i < ring.cells.size(); ++i)
    ASSERT_NEAR(u[ring.cells[i]], truth[static_cast<Eigen::Index>(i)], 1e-8);
}

TEST(GridSolver, ADenseRightHandSideAndASparseOneMeanTheSame) {
  const Ring ring({45, 38, 21});
  GridSolver solver(ring.grid, ring.faces, ring.wells);
  std::vector<double> dense(ring.grid.value_count(), 0.0), u(dense), v(dense);
  for (const Source& source : ring.sources) dense[source.cell] += source.rate;
  solver.solve(ring.sources, u);
  solver.solve(dense, v);
  for (const std::uint32_t c : ring.cells) ASSERT_NEAR(u[c], v[c], 1e-7);
}

TEST(GridSolver, OtherWellsOnTheSameFacesAnswerAsIfSetUpAnew) {
  const Ring ring({45, 38, 21});
  std::vector<Well> plugged = ring.wells;
  plugged[2].conductance = 0;
  std::vector<Source> sources = ring.sources;
  sources[2].rate = 0;
  GridSolver anew(ring.grid, ring.faces, plugged), changed(ring.grid, ring.faces, ring.wells);
  changed.set_wells(plugged);
  std::vector<double> u(ring.grid.value_count(), 0.0), v(u);
  anew.solve(sources, u);
  changed.solve(sources, v);
  EXPECT_EQ(u, v);
}

TEST(GridSolver, OneThreadAndTwoGiveTheSamePressuresToTheBit) {
  const Ring ring({64, 64, 64});
  const auto answer = [&](std::size_t threads) {
    const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
    GridSolver solver(ring.grid, ring.faces, ring.wells);
    std::vector<double> u(ring.grid.value_count(), 0.0);
    solver.solve(ring.sources, u);
    return u;
  };
  EXPECT_EQ(answer(1), answer(2));
}

// Conjugate gradients need it: y . B x = x . B y, and x . B x > 0.
TEST(GridLevels, TheCycleIsSymmetricAndPositive) {
  const Ring ring({45, 38, 21});
  GridLevels levels(ring.grid, ring.faces, ring.wells);
  std::mt19937 dice(3);
  std::normal_distribution<float> normal;
  GridValues<float> x(ring.grid.value_count(), 0), y(x), bx(x), by(x);
  for (const std::uint32_t c : ring.cells) {
    x[c] = normal(dice);
    y[c] = normal(dice);
  }
  const double x_bx = levels.cycle(x.data(), bx.data());
  const double y_by = levels.cycle(y.data(), by.data());
  double x_by = 0, y_bx = 0;
  for (const std::uint32_t c : ring.cells) {
    x_by += static_cast<double>(x[c]) * static_cast<double>(by[c]);
    y_bx += static_cast<double>(y[c]) * static_cast<double>(bx[c]);
  }
  EXPECT_GT(x_bx, 0);
  EXPECT_GT(y_by, 0);
  EXPECT_NEAR(x_by, y_bx, 1e-4 * std::sqrt(x_bx * y_by));
}

// The plain way to sweep, cell by cell, as the vectors' witness.
TEST(StripKernels, RelaxationIsThatOfOneCellAfterAnother) {
  const Ring ring({45, 38, 21});
  GridLevels levels(ring.grid, ring.faces, ring.wells);
  const GridLevel& level = levels.fine();
  std::mt19937 dice(5);
  std::normal_distribution<float> normal;
  GridValues<float> f(ring.grid.value_count(), 0), u(f);
  for (const std::uint32_t c : ring.cells) {
    f[c] = normal(dice);
    u[c] = normal(dice);
  }
  for (const int colour : {0, 1}) {
    GridValues<float> plain(u);
    for (const std::uint32_t c : ring.cells) {
      const auto at = ring.grid.place(c);
      if ((at[0] + at[1] + at[2]) % 2 != colour) continue;
      float sum = f[c];
      for (const StripGrid::Face& face : ring.grid.faces(c))
        sum += level.faces[static_cast<std::size_t>(face.axis)][face.holder] * u[face.other];
      plain[c] = sum * level.inverse[c];
    }
    relax(level.view(), {1, static_cast<std::uint32_t>(ring.grid.strips.size())}, colour, f.data(), u.data());
    for (const std::uint32_t c : ring.cells) ASSERT_NEAR(u[c], plain[c], 1e-5f * (1 + std::abs(plain[c])));
  }
}

TEST(StripKernels, FlowsAddUpToThoseOfTheFaces) {
  const Ring ring({45, 38, 21});
  GridLevels levels(ring.grid, ring.faces, {});
  std::mt19937 dice(9);
  std::normal_distribution<float> normal;
  GridValues<float> p(ring.grid.value_count(), 0), q(p);
  for (const std::uint32_t c : ring.cells) p[c] = normal(dice);
  apply(levels.fine().view(), {1, static_cast<std::uint32_t>(ring.grid.strips.size())}, p.data(), q.data());
  for (const std::uint32_t c : ring.cells) {
    float sum = 0;
    for (const StripGrid::Face& face : ring.grid.faces(c))
      sum += ring.faces[static_cast<std::size_t>(face.axis)][face.holder] * (p[c] - p[face.other]);
    ASSERT_NEAR(q[c], sum, 1e-5);
  }
}

}  // namespace
}  // namespace boxfettle
