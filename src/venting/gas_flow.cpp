#include "venting/gas_flow.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "flow/orifice_flow.hpp"
#include "flow/slit_flow.hpp"

namespace boxfettle {
GasFlow::GasFlow(const CutCells& cavity, const PackedSand& sand, const GasState& state,
                 std::vector<Inlet> inlets, std::vector<VentPath> vents, std::vector<LeakCell> leaks,
                 const FlowSettings& settings)
    : cavity_(&cavity),
      sand_(sand),
      state_(state),
      settings_(settings),
      inlets_(std::move(inlets)),
      vents_(std::move(vents)),
      leaks_(std::move(leaks)),
      span_(state.inlet_pa * state.inlet_pa - state.outlet_pa * state.outlet_pa) {
  const double voxel_m = cavity.lattice.voxel_mm * 1e-3;
  const double mu = viscosity_pa_s(state.temperature_K, state.gas);
  const double conductivity =
      sand.permeability_m2 / (2 * mu * state.gas.constant_J_kgK * state.temperature_K);
  unit_flow_ = conductivity * voxel_m * span_;
  const double b = settings.inertia ? sand.inertia_per_m * sand.permeability_m2 / mu : 0;
  inertia_ = 4 * b * conductivity * span_ / voxel_m;
  find_cells();
  u_.assign(cavity.grid.value_count(), 0.0);
  ease_.assign(cavity.grid.value_count(), 0.0f);
  for (const std::uint32_t c : cells_) {
    u_[c] = 0.5;
    ease_[c] = 1;
  }
  vent_u_.assign(vents_.size(), 0.0);
  vent_q_.assign(vents_.size(), 0.0);
  inlet_q_.assign(inlets_.size(), 0.0);
  vent_flow_ = vent_q_;
  inlet_flow_ = inlet_q_;
  inlet_cell_flows_.resize(inlets_.size());
  leak_conductance_.assign(leaks_.size(), 0.0);
  inlet_ease_.assign(inlets_.size(), 1.0);
  vent_ease_.assign(vents_.size(), 1.0);
}

// Walk through the faces from every opening.
void GasFlow::find_cells() {
  const StripGrid& grid = cavity_->grid;
  std::vector<char> seen(grid.value_count(), 0);
  const auto visit = [&](std::uint32_t cell) {
    if (seen[cell] != 0) return;
    seen[cell] = 1;
    cells_.push_back(cell);
  };
  for (const Inlet& inlet : inlets_)
    for (const PatchCell& c : inlet.cells) visit(c.cell);
  for (const VentPath& vent : vents_)
    for (const PatchCell& c : vent.cells) visit(c.cell);
  for (std::size_t i = 0; i < cells_.size(); ++i)
    for (const StripGrid::Face& face : grid.faces(cells_[i]))
      if (cavity_->aperture[static_cast<std::size_t>(face.axis)][face.holder] > 0) visit(face.other);
  std::sort(cells_.begin(), cells_.end());
}

double GasFlow::gradient_size(std::uint32_t cell, std::array<double, 3>& gradient) const {
  const auto faces = cavity_->grid.faces(cell);
  double squares = 0;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const StripGrid::Face &high = faces[2 * axis], &low = faces[2 * axis + 1];
    const auto open_high = static_cast<double>(cavity_->aperture[axis][high.holder]);
    const auto open_low = static_cast<double>(cavity_->aperture[axis][low.holder]);
    const double open = open_high + open_low;
    gradient[axis] =
        open > 0 ? (open_high * (u_[high.other] - u_[cell]) + open_low * (u_[cell] - u_[low.other])) / open
                 : 0;
    squares += gradient[axis] * gradient[axis];
  }
  return std::sqrt(squares);
}

// Conductances of the faces with the inertia of the flow as it was: in series through two half cells.
void GasFlow::renew_faces() {
  if (inertia_ > 0)
    tbb::parallel_for(std::size_t{0}, cells_.size(), [&](std::size_t i) {
      std::array<double, 3> gradient;
      const double size = gradient_size(cells_[i], gradient);
      ease_[cells_[i]] = static_cast<float>(2 / (1 + std::sqrt(1 + inertia_ * size)));
    });
  else if (solver_)
    return;
  FaceConductances faces;
  if (solver_) faces = solver_->take_faces();
  for (std::size_t axis = 0; axis < 3; ++axis) faces[axis].resize(cavity_->grid.value_count(), 0);
  tbb::parallel_for(std::size_t{0}, cells_.size(), [&](std::size_t i) {
    const std::uint32_t c = cells_[i];
    const auto around = cavity_->grid.faces(c);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const float open = cavity_->aperture[axis][c];
      const float here = ease_[c], there = open > 0 ? ease_[around[2 * axis].other] : 0;
      faces[axis][c] = open > 0 ? open * 2 * here * there / (here + there) : 0;
    }
  });
  if (solver_)
    solver_->set_faces(std::move(faces));
  else
    solver_.emplace(cavity_->grid, std::move(faces), std::vector<Well>{});
}

// How much of a disc's pressure is lost to inertia, per flow in own units. Around a disc that the voxels do
// not show the gas spreads as from a hemisphere of radius 2 a / pi, for which inertia weighs pi / 24 m / a^2
// (0.41 of the flux through the disc); before one that they do show the last half voxel sees the flux itself.
double GasFlow::port_inertia(double disc_mm2) const {
  const double voxel_mm2 = cavity_->lattice.voxel_mm * cavity_->lattice.voxel_mm;
  const double voxels = std::sqrt(disc_mm2 / (std::numbers::pi * voxel_mm2));
  const double weight = 0.41 + 0.59 * std::min(voxels / 3, 1.0);
  return inertia_ / 4 * weight * voxel_mm2 / disc_mm2;
}

void GasFlow::renew_wells() {
  std::vector<Well> wells;
  for (std::size_t i = 0; i < inlets_.size(); ++i) {
    const double ease = inlet_ease_[i] = 1 / (1 + port_inertia(inlets_[i].disc_mm2) * std::abs(inlet_q_[i]));
    for (const PatchCell& c : inlets_[i].cells) wells.push_back({c.cell, c.conductance * ease});
  }
  for (std::size_t v = 0; v < vents_.size(); ++v) {
    if (vents_[v].orifice_m2 == 0.0) continue;
    const double ease = vent_ease_[v] = 1 / (1 + port_inertia(vents_[v].disc_mm2) * std::abs(vent_q_[v]));
    for (const PatchCell& c : vents_[v].cells) wells.push_back({c.cell, c.conductance * ease});
  }
  for (std::size_t l = 0; l < leaks_.size(); ++l) {
    const LeakCell& leak = leaks_[l];
    const double u = std::max(u_[leak.cell], 1e-6);
    const double pressure = std::sqrt(state_.outlet_pa * state_.outlet_pa + u * span_);
    const double flow = slit_flow({leak.width_m, leak.height_m, leak.land_m}, pressure, state_.outlet_pa,
                                  state_.temperature_K, state_.gas)
                            .mass_flow_kg_s;
    leak_conductance_[l] = flow / unit_flow_ / u;
    wells.push_back({leak.cell, leak_conductance_[l]});
  }
  solver_->set_wells(std::move(wells));
}

// To a residual that is so much of the whole flow. The right-hand side is far larger than the flow where an
// opening conducts much better than the sand around it.
SolveReport GasFlow::solve_cells(double share_of_flow) {
  std::vector<Source> sources;
  double squares = 0;
  const auto add = [&](const PatchCell& c, double ease, double u) {
    sources.push_back({c.cell, c.conductance * ease * u});
    squares += sources.back().rate * sources.back().rate;
  };
  for (std::size_t i = 0; i < inlets_.size(); ++i)
    for (const PatchCell& c : inlets_[i].cells) add(c, inlet_ease_[i], 1);
  for (std::size_t v = 0; v < vents_.size(); ++v)
    if (vents_[v].orifice_m2 != 0.0)
      for (const PatchCell& c : vents_[v].cells) add(c, vent_ease_[v], vent_u_[v]);
  const double flow = std::accumulate(inlet_q_.begin(), inlet_q_.end(), 0.0);
  SolveSettings settings;
  settings.relative_residual = flow > 0 ? std::min(share_of_flow * flow / std::sqrt(squares), 1e-4) : 1e-7;
  return solver_->solve(sources, u_, settings);
}

// Flows as the conductances of this round make them: they balance as far as the solver has come.
void GasFlow::measure_flows() {
  for (std::size_t i = 0; i < inlets_.size(); ++i) {
    inlet_cell_flows_[i].clear();
    double sum = 0;
    for (const PatchCell& c : inlets_[i].cells) {
      inlet_cell_flows_[i].push_back(c.conductance * inlet_ease_[i] * (1 - u_[c.cell]));
      sum += inlet_cell_flows_[i].back();
    }
    inlet_q_[i] = sum;
    inlet_flow_[i] = sum * unit_flow_;
  }
  for (std::size_t v = 0; v < vents_.size(); ++v) {
    double sum = 0;
    if (vents_[v].orifice_m2 != 0.0)
      for (const PatchCell& c : vents_[v].cells)
        sum += c.conductance * vent_ease_[v] * (u_[c.cell] - vent_u_[v]);
    vent_q_[v] = sum;
    vent_flow_[v] = sum * unit_flow_;
  }
  leak_flow_ = 0;
  for (std::size_t l = 0; l < leaks_.size(); ++l)
    leak_flow_ += leak_conductance_[l] * u_[leaks_[l].cell] * unit_flow_;
}

double GasFlow::total_flow() const {
  return std::accumulate(inlet_flow_.begin(), inlet_flow_.end(), 0.0);
}

double GasFlow::orifice_flow_at(std::size_t vent, double u) const {
  const double pressure = std::sqrt(state_.outlet_pa * state_.outlet_pa + std::max(u, 0.0) * span_);
  return orifice_flow(*vents_[vent].orifice_m2, pressure, state_.outlet_pa, state_.temperature_K, state_.gas)
             .mass_flow_kg_s /
         unit_flow_;
}

double GasFlow::orifice_slope_at(std::size_t vent, double u) const {
  const double step = 1e-5 * std::max(u, 1e-9);
  return (orifice_flow_at(vent, u + step) - orifice_flow_at(vent, u - step)) / (2 * step);
}

// How each vent's flow answers to each vent's pressure, near enough for Newton steps.
void GasFlow::take_response_matrix() {
  const auto count = static_cast<Eigen::Index>(vents_.size());
  vent_matrix_ = Eigen::MatrixXd::Zero(count, count);
  std::vector<double> answer(u_.size());
  SolveSettings rough;
  rough.relative_residual = 1e-4;
  for (Eigen::Index v = 0; v < count; ++v) {
    const VentPath& vent = vents_[static_cast<std::size_t>(v)];
    if (!vent.orifice_m2 || *vent.orifice_m2 == 0) continue;
    std::vector<Source> sources;
    for (const PatchCell& c : vent.cells)
      sources.push_back({c.cell, c.conductance * vent_ease_[static_cast<std::size_t>(v)]});
    std::fill(answer.begin(), answer.end(), 0.0);
    solver_->solve(sources, answer, rough);
    for (Eigen::Index w = 0; w < count; ++w) {
      const VentPath& other = vents_[static_cast<std::size_t>(w)];
      if (!other.orifice_m2 || *other.orifice_m2 == 0) continue;
      const double ease = vent_ease_[static_cast<std::size_t>(w)];
      double sum = 0;
      for (const PatchCell& c : other.cells)
        sum += c.conductance * ease * ((v == w ? 1.0 : 0.0) - answer[c.cell]);
      vent_matrix_(w, v) = sum;
    }
  }
}

// Pressures behind the sand such that each vent's opening lets through what the sand brings, the sand taken
// as linear around where it is. Vent after vent, each by bisection: nothing can overshoot.
void GasFlow::step_vents() {
  const std::vector<double> before = vent_u_;
  for (int sweep = 0; sweep < 200; ++sweep) {
    double moved = 0;
    for (std::size_t v = 0; v < vents_.size(); ++v) {
      if (!vents_[v].orifice_m2 || *vents_[v].orifice_m2 == 0) continue;
      const auto row = static_cast<Eigen::Index>(v);
      double rest = vent_q_[v] + vent_matrix_(row, row) * before[v];
      for (std::size_t w = 0; w < vents_.size(); ++w)
        if (w != v) rest -= vent_matrix_(row, static_cast<Eigen::Index>(w)) * (vent_u_[w] - before[w]);
      double low = 0, high = 1;
      for (int i = 0; i < 50; ++i) {
        const double middle = 0.5 * (low + high);
        (orifice_flow_at(v, middle) < rest - vent_matrix_(row, row) * middle ? low : high) = middle;
      }
      moved = std::max(moved, std::abs(low - vent_u_[v]));
      vent_u_[v] = low;
    }
    if (moved < 1e-13) return;
  }
}

FlowReport GasFlow::solve() {
  FlowReport report;
  std::vector<double> last;
  const auto flows = [&] {
    std::vector<double> all = inlet_q_;
    all.insert(all.end(), vent_q_.begin(), vent_q_.end());
    return all;
  };
  bool matrix_taken = false;
  for (; report.rounds < settings_.most_rounds; ++report.rounds) {
    last = flows();
    renew_faces();
    renew_wells();
    const double residual =
        report.rounds < 2 ? 1e-4 : std::clamp(1e-3 * report.change, settings_.residual, 1e-5);
    report.solver_iterations += solve_cells(residual).iterations;
    measure_flows();
    const double total = std::accumulate(inlet_q_.begin(), inlet_q_.end(), 0.0);
    const auto now = flows();
    report.change = 0;
    for (std::size_t i = 0; i < now.size(); ++i)
      report.change = std::max(report.change, std::abs(now[i] - last[i]) / total);
    for (std::size_t v = 0; v < vents_.size(); ++v)
      if (vents_[v].orifice_m2)
        report.change =
            std::max(report.change, std::abs(vent_q_[v] - orifice_flow_at(v, vent_u_[v])) / total);
    report.converged = report.change <= settings_.tolerance;
    if (report.converged && residual <= 10 * settings_.residual) break;
    if (report.converged) {
      report.solver_iterations += solve_cells(settings_.residual).iterations;
      measure_flows();
      break;
    }
    if (!matrix_taken || report.rounds == 4) take_response_matrix();
    matrix_taken = true;
    step_vents();
  }
  const double in = total_flow();
  const double out = std::accumulate(vent_flow_.begin(), vent_flow_.end(), leak_flow_);
  report.balance_error = std::abs(in - out) / in;
  return report;
}

double GasFlow::pressure_pa(std::uint32_t cell) const {
  return std::sqrt(state_.outlet_pa * state_.outlet_pa + std::max(u_[cell], 0.0) * span_);
}

double GasFlow::pore_mm3(std::uint32_t cell) const {
  const double voxel = cavity_->lattice.voxel_mm;
  return sand_.porosity * static_cast<double>(cavity_->volume[cell]) * voxel * voxel * voxel;
}

double GasFlow::pore_gas_kg(std::uint32_t cell) const {
  return density_kg_m3(pressure_pa(cell), state_.temperature_K, state_.gas) * pore_mm3(cell) * 1e-9;
}

double GasFlow::pore_gas_slope_kg(std::uint32_t cell) const {
  const double pressure = pressure_pa(cell);
  return pore_gas_kg(cell) / pressure * span_ / (2 * pressure);
}

void GasFlow::each_outflow(const std::function<void(std::uint32_t, double)>& visit) const {
  for (std::size_t v = 0; v < vents_.size(); ++v) {
    if (vents_[v].orifice_m2 == 0.0) continue;
    double sum = 0;
    for (const PatchCell& c : vents_[v].cells) sum += c.conductance * (u_[c.cell] - vent_u_[v]);
    for (const PatchCell& c : vents_[v].cells)
      visit(c.cell, vent_q_[v] * c.conductance * (u_[c.cell] - vent_u_[v]) / sum);
  }
  for (std::size_t l = 0; l < leaks_.size(); ++l)
    visit(leaks_[l].cell, leak_conductance_[l] * u_[leaks_[l].cell]);
}

double GasFlow::inertia_share() const {
  double lost = 0, all = 0;
  for (const std::uint32_t c : cells_)
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const StripGrid::Face face = cavity_->grid.faces(c)[2 * axis];
      if (solver_->faces()[axis][c] == 0) continue;
      const double work = face_flow(axis, c, face.other) * (u_[c] - u_[face.other]);
      all += work;
      lost += work * (1 - static_cast<double>(solver_->faces()[axis][c] / cavity_->aperture[axis][c]));
    }
  return all > 0 ? lost / all : 0;
}

}  // namespace boxfettle
