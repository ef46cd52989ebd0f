#include "hypre_solvers.hpp"

#include <HYPRE.h>
#include <HYPRE_krylov.h>
#include <HYPRE_parcsr_ls.h>
#include <HYPRE_struct_ls.h>
#include <mpi.h>

#include <chrono>
#include <numeric>

namespace boxfettle::bench {
namespace {

double now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

}  // namespace

HypreSession::HypreSession() {
  MPI_Init(nullptr, nullptr);
  HYPRE_Init();
}
HypreSession::~HypreSession() {
  HYPRE_Finalize();
  MPI_Finalize();
}

OthersRun boomeramg(const LinearProblem& linear) {
  const auto count = static_cast<HYPRE_Int>(linear.cells.size());
  HYPRE_IJMatrix matrix;
  HYPRE_IJMatrixCreate(MPI_COMM_SELF, 0, count - 1, 0, count - 1, &matrix);
  HYPRE_IJMatrixSetObjectType(matrix, HYPRE_PARCSR);
  std::vector<HYPRE_Int> sizes, rows(linear.cells.size());
  std::iota(rows.begin(), rows.end(), 0);
  for (std::size_t i = 0; i < linear.cells.size(); ++i)
    sizes.push_back(static_cast<HYPRE_Int>(linear.row_start[i + 1] - linear.row_start[i]));
  HYPRE_IJMatrixSetRowSizes(matrix, sizes.data());
  HYPRE_IJMatrixInitialize(matrix);
  const std::vector<HYPRE_Int> columns(linear.column.begin(), linear.column.end());
  HYPRE_IJMatrixSetValues(matrix, count, sizes.data(), rows.data(), columns.data(), linear.value.data());
  HYPRE_IJMatrixAssemble(matrix);
  HYPRE_IJVector b, x;
  for (HYPRE_IJVector* v : {&b, &x}) {
    HYPRE_IJVectorCreate(MPI_COMM_SELF, 0, count - 1, v);
    HYPRE_IJVectorSetObjectType(*v, HYPRE_PARCSR);
    HYPRE_IJVectorInitialize(*v);
  }
  std::vector<double> zeros(linear.cells.size(), 0.0);
  HYPRE_IJVectorSetValues(b, count, rows.data(), linear.right.data());
  HYPRE_IJVectorSetValues(x, count, rows.data(), zeros.data());
  HYPRE_IJVectorAssemble(b);
  HYPRE_IJVectorAssemble(x);
  HYPRE_ParCSRMatrix a;
  HYPRE_ParVector pb, px;
  HYPRE_IJMatrixGetObject(matrix, reinterpret_cast<void**>(&a));
  HYPRE_IJVectorGetObject(b, reinterpret_cast<void**>(&pb));
  HYPRE_IJVectorGetObject(x, reinterpret_cast<void**>(&px));

  HYPRE_Solver cg, amg;
  HYPRE_ParCSRPCGCreate(MPI_COMM_SELF, &cg);
  HYPRE_PCGSetTol(cg, 1e-8);
  HYPRE_PCGSetTwoNorm(cg, 1);
  HYPRE_PCGSetMaxIter(cg, 500);
  HYPRE_BoomerAMGCreate(&amg);
  HYPRE_BoomerAMGSetCoarsenType(amg, 10);  // HMIS
  HYPRE_BoomerAMGSetInterpType(amg, 6);    // extended+i
  HYPRE_BoomerAMGSetPMaxElmts(amg, 4);
  HYPRE_BoomerAMGSetStrongThreshold(amg, 0.25);  // 0.5 needs 18 iterations for 12
  HYPRE_BoomerAMGSetRelaxType(amg, 6);           // symmetric Gauss-Seidel
  HYPRE_BoomerAMGSetTol(amg, 0);
  HYPRE_BoomerAMGSetMaxIter(amg, 1);
  HYPRE_PCGSetPrecond(cg, reinterpret_cast<HYPRE_PtrToSolverFcn>(HYPRE_BoomerAMGSolve),
                      reinterpret_cast<HYPRE_PtrToSolverFcn>(HYPRE_BoomerAMGSetup), amg);
  OthersRun run{};
  double start = now();
  HYPRE_ParCSRPCGSetup(cg, a, pb, px);
  run.setup_s = now() - start;
  start = now();
  HYPRE_ParCSRPCGSolve(cg, a, pb, px);
  run.solve_s = now() - start;
  HYPRE_PCGGetNumIterations(cg, &run.iterations);
  run.x.resize(linear.cells.size());
  HYPRE_IJVectorGetValues(x, count, rows.data(), run.x.data());
  HYPRE_BoomerAMGDestroy(amg);
  HYPRE_ParCSRPCGDestroy(cg);
  HYPRE_IJVectorDestroy(b);
  HYPRE_IJVectorDestroy(x);
  HYPRE_IJMatrixDestroy(matrix);
  return run;
}

OthersRun pfmg(const FlowProblem& problem, const LinearProblem& linear) {
  const auto& size = problem.cells.grid.cells;
  HYPRE_Int low[3] = {0, 0, 0}, high[3] = {size[0] - 1, size[1] - 1, size[2] - 1};
  HYPRE_StructGrid grid;
  HYPRE_StructGridCreate(MPI_COMM_SELF, 3, &grid);
  HYPRE_StructGridSetExtents(grid, low, high);
  HYPRE_StructGridAssemble(grid);
  HYPRE_StructStencil stencil;
  HYPRE_StructStencilCreate(3, 4, &stencil);
  HYPRE_Int offsets[4][3] = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  for (HYPRE_Int e = 0; e < 4; ++e) HYPRE_StructStencilSetElement(stencil, e, offsets[e]);
  HYPRE_StructMatrix a;
  HYPRE_StructMatrixCreate(MPI_COMM_SELF, grid, stencil, &a);
  HYPRE_StructMatrixSetSymmetric(a, 1);
  HYPRE_StructMatrixInitialize(a);
  const std::size_t count = static_cast<std::size_t>(size[0]) * static_cast<std::size_t>(size[1]) *
                            static_cast<std::size_t>(size[2]);
  std::vector<double> values(4 * count, 0.0), right(count, 0.0), answer(count, 0.0);
  for (std::size_t i = 0; i < count; ++i) values[4 * i] = 1;
  const auto place = [&](std::uint32_t cell) {
    const auto at = problem.cells.grid.place(cell);
    return (static_cast<std::size_t>(at[2]) * static_cast<std::size_t>(size[1]) +
            static_cast<std::size_t>(at[1])) *
               static_cast<std::size_t>(size[0]) +
           static_cast<std::size_t>(at[0]);
  };
  for (std::size_t row = 0; row < linear.cells.size(); ++row) {
    const std::uint32_t c = linear.cells[row];
    const std::size_t i = place(c);
    values[4 * i] = linear.value[linear.row_start[row]];
    right[i] = linear.right[row];
    for (std::size_t axis = 0; axis < 3; ++axis)
      values[4 * i + 1 + axis] = -static_cast<double>(problem.cells.aperture[axis][c]);
  }
  HYPRE_Int entries[4] = {0, 1, 2, 3};
  HYPRE_StructMatrixSetBoxValues(a, low, high, 4, entries, values.data());
  HYPRE_StructMatrixAssemble(a);
  values = {};
  HYPRE_StructVector b, x;
  for (HYPRE_StructVector* v : {&b, &x}) {
    HYPRE_StructVectorCreate(MPI_COMM_SELF, grid, v);
    HYPRE_StructVectorInitialize(*v);
  }
  HYPRE_StructVectorSetBoxValues(b, low, high, right.data());
  HYPRE_StructVectorSetBoxValues(x, low, high, answer.data());
  HYPRE_StructVectorAssemble(b);
  HYPRE_StructVectorAssemble(x);
  HYPRE_StructSolver cg, mg;
  HYPRE_StructPCGCreate(MPI_COMM_SELF, &cg);
  HYPRE_StructPCGSetTol(cg, 1e-8);
  HYPRE_StructPCGSetTwoNorm(cg, 1);
  HYPRE_StructPCGSetMaxIter(cg, 500);
  HYPRE_StructPFMGCreate(MPI_COMM_SELF, &mg);
  HYPRE_StructPFMGSetMaxIter(mg, 1);
  HYPRE_StructPFMGSetTol(mg, 0);
  HYPRE_StructPFMGSetZeroGuess(mg);
  HYPRE_StructPFMGSetRAPType(mg, 0);
  HYPRE_StructPFMGSetRelaxType(mg, 2);  // red-black Gauss-Seidel
  HYPRE_StructPCGSetPrecond(cg, HYPRE_StructPFMGSolve, HYPRE_StructPFMGSetup, mg);
  OthersRun run{};
  double start = now();
  HYPRE_StructPCGSetup(cg, a, b, x);
  run.setup_s = now() - start;
  start = now();
  HYPRE_StructPCGSolve(cg, a, b, x);
  run.solve_s = now() - start;
  HYPRE_StructPCGGetNumIterations(cg, &run.iterations);
  HYPRE_StructVectorGetBoxValues(x, low, high, answer.data());
  for (const std::uint32_t c : linear.cells) run.x.push_back(answer[place(c)]);
  HYPRE_StructPFMGDestroy(mg);
  HYPRE_StructPCGDestroy(cg);
  HYPRE_StructVectorDestroy(b);
  HYPRE_StructVectorDestroy(x);
  HYPRE_StructMatrixDestroy(a);
  HYPRE_StructStencilDestroy(stencil);
  HYPRE_StructGridDestroy(grid);
  return run;
}

}  // namespace boxfettle::bench
