// Gas or air through the packed core, steady: in at the blow inlets, out at the vents and the parting gap.
//
// Darcy's law with Forchheimer's inertial term for an ideal gas of one temperature, linear in u = p^2 but for
// that term, which rounds of solving with renewed conductances bring in (Picard). Every vent is a disc at one
// pressure (wall_patch.hpp) with its own opening behind it (flow/orifice_flow.hpp); what that opening lets
// through and what the sand brings are made to agree by a Newton step on all vents together, whose matrix is
// taken once. docs/how/gassing.md
#pragma once

#include <Eigen/Dense>
#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "flow/gas.hpp"
#include "flow/grid_solver.hpp"
#include "flow/packed_sand.hpp"
#include "geometry/cut_cells.hpp"
#include "venting/wall_patch.hpp"

namespace boxfettle {

struct GasState {
  double inlet_pa;
  double outlet_pa = standard_atmosphere_pa;
  double temperature_K = celsius_zero_K + 20;
  Gas gas = {};
};

struct Inlet {
  std::string id;
  std::vector<PatchCell> cells;
  double disc_mm2;
};

struct VentPath {
  std::string id;
  std::vector<PatchCell> cells;
  double disc_mm2;
  std::optional<double> orifice_m2 =
      {};  // area times discharge of what is behind the disc; absent: nothing is
};

// A piece of the parting outline that stands open.
struct LeakCell {
  std::uint32_t cell;
  double width_m, height_m, land_m;
};

struct FlowSettings {
  bool inertia = true;      // false: Darcy alone, for its closed forms
  double tolerance = 1e-6;  // change of any path's flow from round to round, of the total
  int most_rounds = 60;
  double residual = 1e-10;  // of the cells' balances (Euclidean), of the total flow, in the last round
};

struct FlowReport {
  bool converged = false;
  int rounds = 0;
  int solver_iterations = 0;
  double change = 0;         // of the last round, as FlowSettings::tolerance
  double balance_error = 0;  // |in - out| / in
};

class GasFlow {
 public:
  // Cells that no face ties to an opening take no part. `cavity` must outlive the flow. At least one inlet.
  GasFlow(const CutCells& cavity, const PackedSand& sand, const GasState& state, std::vector<Inlet> inlets,
          std::vector<VentPath> vents, std::vector<LeakCell> leaks = {}, const FlowSettings& settings = {});

  GasFlow(GasFlow&&) noexcept = default;  // its parts point into its own lists: moved, never copied

  // From where the last answer left off.
  FlowReport solve();
  void set_orifice(std::size_t vent, double orifice_m2) { vents_[vent].orifice_m2 = orifice_m2; }

  const CutCells& cavity() const { return *cavity_; }
  const std::vector<std::uint32_t>& cells() const { return cells_; }  // that take part
  const std::vector<Inlet>& inlets() const { return inlets_; }
  const std::vector<VentPath>& vents() const { return vents_; }
  const std::vector<LeakCell>& leaks() const { return leaks_; }

  double pressure_pa(std::uint32_t cell) const;
  double unit_flow_kg_s() const { return unit_flow_; }  // what a flow of 1 in this class's own units is
  double inlet_flow(std::size_t i) const { return inlet_flow_[i]; }  // into the cavity, kg/s
  double vent_flow(std::size_t i) const { return vent_flow_[i]; }    // out of it
  double leak_flow() const { return leak_flow_; }
  double total_flow() const;
  double pore_gas_kg(std::uint32_t cell) const;
  double pore_gas_slope_kg(std::uint32_t cell) const;  // of the gas held, by u
  double pore_mm3(std::uint32_t cell) const;
  void each_outflow(const std::function<void(std::uint32_t cell, double outflow)>& visit) const;  // own units
  double inertia_share() const;  // of the pressure (squared) lost in the sand, flow-weighted mean

  // Own units: u from 0 (outlet) to 1 (inlet), flows in unit_flow_kg_s.
  double u(std::uint32_t cell) const { return u_[cell]; }
  double face_flow(std::size_t axis, std::uint32_t holder, std::uint32_t other) const {
    return static_cast<double>(solver_->faces()[axis][holder]) * (u_[holder] - u_[other]);
  }
  const std::vector<std::vector<double>>& inlet_cell_flows() const { return inlet_cell_flows_; }

  // How a quantity that depends on u and the face flows changes with what the vents let through.
  struct Gradient {
    std::vector<double> by_u;                         // direct, at given flows
    std::array<std::vector<double>, 3> by_face_flow;  // from holder to other
    std::vector<double> by_inflow;                    // into a cell from an inlet
  };
  struct Response {
    std::vector<double> by_log_orifice;  // of each vent, whose orifice grows in proportion
    std::vector<double> by_new_outlet;   // of each cell: a conductance of 1 (own units) to the outside
    bool converged = false;
  };
  Response response(const Gradient& gradient);

 private:
  // An inlet or a vent as the cells see it: a disc at one pressure. Inlets first, then vents.
  struct Port {
    const std::vector<PatchCell>* cells;
    double conductance;  // of all cells to the disc
    double inertia;      // u lost to it: inertia / conductance * flow^2
    double u;            // at the disc
    double at;           // on its law, as port_point takes it
    double flow = 0;     // out of the cavity
  };
  struct PortPoint {
    double u, flow;
  };
  struct PortSlope {
    double by_u, by_log_orifice;
  };
  void find_cells();
  void renew_faces();
  void renew_wells();
  SolveReport solve_cells(double share_of_flow);
  void measure_flows();
  bool is_open(std::size_t port) const;
  bool follows(std::size_t port) const;
  double orifice_flow_at(std::size_t vent, double u) const;
  PortPoint port_point(std::size_t port, double at) const;
  PortSlope port_slope(std::size_t port) const;
  void take_response_matrix();
  void step_ports();
  double gradient_size(std::uint32_t cell) const;
  void add_inertia_terms(const std::array<std::vector<double>, 3>& by_face, std::vector<double>& by_u) const;
  double port_inertia(double disc_mm2) const;
  void fill_right_side(const Gradient& gradient, const std::vector<double>& m, const std::vector<double>& n,
                       std::vector<double>& right) const;
  Eigen::VectorXd port_step(const Gradient& gradient, const std::vector<double>& m,
                            const std::vector<double>& n) const;

  const CutCells* cavity_;
  PackedSand sand_;
  GasState state_;
  FlowSettings settings_;
  std::vector<Inlet> inlets_;
  std::vector<VentPath> vents_;
  std::vector<LeakCell> leaks_;
  std::vector<std::uint32_t> cells_;
  double span_;       // inlet p^2 - outlet p^2
  double unit_flow_;  // k h (p1^2 - p0^2) / (2 mu R T), kg/s
  double inertia_;    // 4 b K span / h: 0 for Darcy
  std::optional<GridSolver> solver_;
  std::vector<double> u_;
  std::vector<float> ease_;  // of a cell: 1 without inertia
  std::vector<Port> ports_;
  std::vector<double> leak_conductance_;
  std::vector<double> inlet_flow_, vent_flow_;
  std::vector<std::vector<double>> inlet_cell_flows_;
  double leak_flow_ = 0;
  Eigen::MatrixXd port_matrix_;
};

}  // namespace boxfettle
