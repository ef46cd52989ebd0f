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
  for (const Inlet& inlet : inlets_) ports_.push_back({&inlet.cells, 0, port_inertia(inlet.disc_mm2), 1, 0});
  for (const VentPath& vent : vents_) ports_.push_back({&vent.cells, 0, port_inertia(vent.disc_mm2), 0, 0});
  for (Port& port : ports_)
    for (const PatchCell& c : *port.cells) port.conductance += c.conductance;
  vent_flow_.assign(vents_.size(), 0.0);
  inlet_flow_.assign(inlets_.size(), 0.0);
  inlet_cell_flows_.resize(inlets_.size());
  leak_conductance_.assign(leaks_.size(), 0.0);
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

// The differences across a cell's faces, squared and averaged over the open parts of each pair: around a vent
// that drinks from all sides their plain mean would be nothing where the flow is fastest.
double GasFlow::gradient_size(std::uint32_t cell) const {
  const auto faces = cavity_->grid.faces(cell);
  double squares = 0;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const StripGrid::Face &high = faces[2 * axis], &low = faces[2 * axis + 1];
    const auto open_high = static_cast<double>(cavity_->aperture[axis][high.holder]);
    const auto open_low = static_cast<double>(cavity_->aperture[axis][low.holder]);
    if (open_high + open_low == 0) continue;
    const double up = u_[high.other] - u_[cell], down = u_[cell] - u_[low.other];
    squares += (open_high * up * up + open_low * down * down) / (open_high + open_low);
  }
  return std::sqrt(squares);
}

// Conductances of the faces with the inertia of the flow as it was: in series through two half cells.
void GasFlow::renew_faces() {
  if (inertia_ > 0)
    tbb::parallel_for(std::size_t{0}, cells_.size(), [&](std::size_t i) {
      const double size = gradient_size(cells_[i]);
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

// Shut is what no sand is found behind, and a vent when nothing of its opening is left.
bool GasFlow::is_open(std::size_t port) const {
  if (!(ports_[port].conductance > 0)) return false;
  return port < inlets_.size() || vents_[port - inlets_.size()].orifice_m2 != 0.0;
}

// Whether the pressure at a port's disc is for its own law to find; else it is that of the outside.
bool GasFlow::follows(std::size_t port) const {
  if (!is_open(port)) return false;
  return ports_[port].inertia > 0 ||
         (port >= inlets_.size() && vents_[port - inlets_.size()].orifice_m2.has_value());
}

void GasFlow::renew_wells() {
  std::vector<Well> wells;
  for (std::size_t p = 0; p < ports_.size(); ++p)
    if (is_open(p))
      for (const PatchCell& c : *ports_[p].cells) wells.push_back({c.cell, c.conductance});
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
  const auto add = [&](const PatchCell& c, double u) {
    sources.push_back({c.cell, c.conductance * u});
    squares += sources.back().rate * sources.back().rate;
  };
  for (std::size_t p = 0; p < ports_.size(); ++p)
    if (is_open(p))
      for (const PatchCell& c : *ports_[p].cells) add(c, ports_[p].u);
  double flow = 0;
  for (const Port& port : ports_) flow += std::max(-port.flow, 0.0);
  SolveSettings settings;
  settings.relative_residual = flow > 0 ? std::min(share_of_flow * flow / std::sqrt(squares), 1e-4) : 1e-7;
  return solver_->solve(sources, u_, settings);
}

// Flows as the conductances of this round make them: they balance as far as the solver has come.
void GasFlow::measure_flows() {
  for (std::size_t p = 0; p < ports_.size(); ++p) {
    Port& port = ports_[p];
    port.flow = 0;
    if (is_open(p))
      for (const PatchCell& c : *port.cells) port.flow += c.conductance * (u_[c.cell] - port.u);
    (p < inlets_.size() ? inlet_flow_[p] : vent_flow_[p - inlets_.size()]) =
        (p < inlets_.size() ? -port.flow : port.flow) * unit_flow_;
  }
  for (std::size_t i = 0; i < inlets_.size(); ++i) {
    inlet_cell_flows_[i].clear();
    for (const PatchCell& c : inlets_[i].cells)
      inlet_cell_flows_[i].push_back(c.conductance * (ports_[i].u - u_[c.cell]));
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

// A port's law, point by point: `at` from 0 to 1 runs from no flow to more than there can be. Behind a vent's
// disc come inertia of the gas that converges on it, then its opening; before an inlet's, the inertia alone.
GasFlow::PortPoint GasFlow::port_point(std::size_t port, double at) const {
  const Port& p = ports_[port];
  const double inertia = p.inertia / p.conductance;
  const bool inlet = port < inlets_.size();
  if (inlet || !vents_[port - inlets_.size()].orifice_m2) {
    const double flow = at / std::sqrt(inertia), u = at * at;
    return inlet ? PortPoint{1 - u, -flow} : PortPoint{u, flow};
  }
  const double flow = orifice_flow_at(port - inlets_.size(), at);
  return {at + inertia * flow * flow, flow};
}

// How the flow of the law goes with the pressure at the disc, and with the logarithm of a vent's opening.
GasFlow::PortSlope GasFlow::port_slope(std::size_t port) const {
  const Port& p = ports_[port];
  const double twice = 2 * p.inertia / p.conductance * std::abs(p.flow);
  const std::size_t vent = port - inlets_.size();
  if (port < inlets_.size() || !vents_[vent].orifice_m2) return {1 / std::max(twice, 1e-300), 0};
  const double step = 1e-5 * std::max(p.at, 1e-9);
  const double orifice =
      (orifice_flow_at(vent, p.at + step) - orifice_flow_at(vent, p.at - step)) / (2 * step);
  return {orifice / (1 + twice * orifice), p.flow / (1 + twice * orifice)};
}

// How each port's flow answers to the pressure at each disc, near enough for Newton steps.
void GasFlow::take_response_matrix() {
  const auto count = static_cast<Eigen::Index>(ports_.size());
  port_matrix_ = Eigen::MatrixXd::Zero(count, count);
  std::vector<double> answer(u_.size());
  SolveSettings rough;
  rough.relative_residual = 1e-4;
  for (std::size_t p = 0; p < ports_.size(); ++p) {
    if (!follows(p)) continue;
    std::vector<Source> sources;
    for (const PatchCell& c : *ports_[p].cells) sources.push_back({c.cell, c.conductance});
    std::fill(answer.begin(), answer.end(), 0.0);
    solver_->solve(sources, answer, rough);
    for (std::size_t w = 0; w < ports_.size(); ++w) {
      if (!follows(w)) continue;
      double sum = 0;
      for (const PatchCell& c : *ports_[w].cells)
        sum += c.conductance * ((p == w ? 1.0 : 0.0) - answer[c.cell]);
      port_matrix_(static_cast<Eigen::Index>(w), static_cast<Eigen::Index>(p)) = sum;
    }
  }
}

// Pressures at the discs such that each port's law lets through what the sand brings, the sand taken as
// linear around where it is. Port after port, each by bisection: nothing can overshoot.
void GasFlow::step_ports() {
  std::vector<double> before;
  for (const Port& port : ports_) before.push_back(port.u);
  for (int sweep = 0; sweep < 200; ++sweep) {
    double moved = 0;
    for (std::size_t p = 0; p < ports_.size(); ++p) {
      if (!follows(p)) continue;
      const auto row = static_cast<Eigen::Index>(p);
      const double own = port_matrix_(row, row);
      double rest = ports_[p].flow + own * before[p];
      for (std::size_t w = 0; w < ports_.size(); ++w)
        if (w != p) rest -= port_matrix_(row, static_cast<Eigen::Index>(w)) * (ports_[w].u - before[w]);
      double low = 0, high = 1;
      for (int i = 0; i < 50; ++i) {
        const double middle = 0.5 * (low + high);
        const PortPoint point = port_point(p, middle);
        const double more = rest - own * point.u - point.flow;  // the sand brings than the law lets through
        ((p < inlets_.size() ? -more : more) > 0 ? low : high) = middle;
      }
      const double u = port_point(p, low).u;
      moved = std::max(moved, std::abs(u - ports_[p].u));
      ports_[p].u = u;
      ports_[p].at = low;
    }
    if (moved < 1e-13) return;
  }
}

FlowReport GasFlow::solve() {
  FlowReport report;
  for (; report.rounds < settings_.most_rounds; ++report.rounds) {
    std::vector<double> last;
    for (const Port& port : ports_) last.push_back(port.flow);
    renew_faces();
    renew_wells();
    const double residual =
        std::clamp(report.rounds < 2 ? 1e-3 : 1e-2 * report.change, settings_.residual, 1e-3);
    report.solver_iterations += solve_cells(residual).iterations;
    measure_flows();
    double total = 0;
    for (const Port& port : ports_) total += std::max(-port.flow, 0.0);
    report.change = 0;
    for (std::size_t p = 0; p < ports_.size(); ++p) {
      report.change = std::max(report.change, std::abs(ports_[p].flow - last[p]) / total);
      if (follows(p))
        report.change =
            std::max(report.change, std::abs(ports_[p].flow - port_point(p, ports_[p].at).flow) / total);
    }
    report.converged = report.change <= settings_.tolerance;
    if (report.converged) {
      if (residual > settings_.residual) {
        report.solver_iterations += solve_cells(settings_.residual).iterations;
        measure_flows();
      }
      break;
    }
    if (port_matrix_.size() == 0 || report.rounds == 4 || report.rounds == 16) take_response_matrix();
    step_ports();
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
  for (std::size_t p = inlets_.size(); p < ports_.size(); ++p)
    if (is_open(p))
      for (const PatchCell& c : *ports_[p].cells) visit(c.cell, c.conductance * (u_[c.cell] - ports_[p].u));
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
