// GasFlow::response: the adjoint of the steady flow, exact for the equations as they are solved.
//
// With R the cells' balances, E the agreement of each vent's two flows, and multipliers m and n for them, the
// quantity J is followed through  J - m.R - n.E:  A m = dJ/du minus everything that the Picard rounds hold
// still (inertia of cells and openings, pressures behind vents), brought in round by round like they are.
#include <tbb/parallel_for.h>

#include <cmath>
#include <numeric>

#include "flow/slit_flow.hpp"
#include "venting/gas_flow.hpp"

namespace boxfettle {
namespace {

double sum_of(const std::vector<PatchCell>& cells) {
  double sum = 0;
  for (const PatchCell& c : cells) sum += c.conductance;
  return sum;
}

}  // namespace

// What a change of the faces' conductances with the gradients around them adds to the derivative by u.
void GasFlow::add_inertia_terms(const std::array<std::vector<double>, 3>& by_face,
                                std::vector<double>& by_u) const {
  if (inertia_ == 0) return;
  std::vector<double> by_ease(u_.size(), 0.0);
  for (const std::uint32_t c : cells_) {
    const auto around = cavity_->grid.faces(c);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const auto open = static_cast<double>(cavity_->aperture[axis][c]);
      if (open == 0) continue;
      const std::uint32_t other = around[2 * axis].other;
      const auto here = static_cast<double>(ease_[c]), there = static_cast<double>(ease_[other]);
      const double drive =
          by_face[axis][c] * (u_[c] - u_[other]) * 2 * open / ((here + there) * (here + there));
      by_ease[c] += drive * there * there;
      by_ease[other] += drive * here * here;
    }
  }
  for (const std::uint32_t c : cells_) {
    std::array<double, 3> gradient;
    const double size = gradient_size(c, gradient);
    if (size == 0) continue;
    const double root = std::sqrt(1 + inertia_ * size);
    const double ease = 2 / (1 + root);
    const double by_size = -by_ease[c] * ease * ease * inertia_ / (4 * root);
    const auto around = cavity_->grid.faces(c);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const StripGrid::Face &high = around[2 * axis], &low = around[2 * axis + 1];
      const auto open_high = static_cast<double>(cavity_->aperture[axis][high.holder]);
      const auto open_low = static_cast<double>(cavity_->aperture[axis][low.holder]);
      if (open_high + open_low == 0) continue;
      const double along = by_size * gradient[axis] / size / (open_high + open_low);
      if (open_high > 0) by_u[high.other] += along * open_high;
      if (open_low > 0) by_u[low.other] -= along * open_low;
      by_u[c] += along * (open_low - open_high);
    }
  }
}

GasFlow::Response GasFlow::response(const Gradient& gradient) {
  Response response;
  std::vector<double> m(u_.size(), 0.0), right, last;
  std::vector<double> n(vents_.size(), 0.0);
  std::array<std::vector<double>, 3> by_face;
  for (auto& axis : by_face) axis.assign(u_.size(), 0.0);
  renew_wells();  // conductances as of the last answer
  take_response_matrix();
  const auto open = [&](std::size_t v) { return !vents_[v].orifice_m2 || *vents_[v].orifice_m2 > 0; };
  const auto follows = [&](std::size_t v) { return vents_[v].orifice_m2 && *vents_[v].orifice_m2 > 0; };
  for (int round = 0; round < 200; ++round) {
    right = gradient.by_u;
    for (std::size_t axis = 0; axis < 3; ++axis)
      for (const std::uint32_t c : cells_) {
        const auto face = static_cast<double>(solver_->faces()[axis][c]);
        if (face == 0) continue;
        const std::uint32_t other = cavity_->grid.faces(c)[2 * axis].other;
        const double direct = gradient.by_face_flow[axis][c];
        right[c] += face * direct;
        right[other] -= face * direct;
        by_face[axis][c] = direct - (m[c] - m[other]);
      }
    add_inertia_terms(by_face, right);
    for (std::size_t i = 0; i < inlets_.size(); ++i) {
      const double e = port_inertia(inlets_[i].disc_mm2), q = inlet_q_[i];
      double weighed = 0;
      for (std::size_t k = 0; k < inlets_[i].cells.size(); ++k) {
        const std::uint32_t c = inlets_[i].cells[k].cell;
        weighed += (m[c] + gradient.by_inflow[c]) * inlet_cell_flows_[i][k];
        right[c] -= gradient.by_inflow[c] * inlets_[i].cells[k].conductance / (1 + e * q);
      }
      for (const PatchCell& c : inlets_[i].cells)
        right[c.cell] += e * weighed / (1 + e * q) * c.conductance / (1 + 2 * e * q);
    }
    for (std::size_t v = 0; v < vents_.size(); ++v) {
      if (!open(v)) continue;
      const double e = port_inertia(vents_[v].disc_mm2), q = vent_q_[v];
      double weighed = 0;
      for (const PatchCell& c : vents_[v].cells)
        weighed += m[c.cell] * c.conductance * (u_[c.cell] - vent_u_[v]) / (1 + e * q);
      const double on_flow = n[v] - e * weighed / (1 + e * q);
      for (const PatchCell& c : vents_[v].cells) right[c.cell] -= on_flow * c.conductance / (1 + 2 * e * q);
    }
    last = m;
    SolveSettings settings;
    settings.relative_residual = std::max(1e-3 * settings_.tolerance, 1e-12);
    solver_->solve(right, m, settings);
    Eigen::VectorXd miss = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(vents_.size()));
    Eigen::MatrixXd matrix = vent_matrix_;
    for (std::size_t v = 0; v < vents_.size(); ++v) {
      const auto row = static_cast<Eigen::Index>(v);
      if (!follows(v)) {
        matrix(row, row) = 1;
        continue;
      }
      const double e = port_inertia(vents_[v].disc_mm2), q = vent_q_[v];
      double weighed = 0, sum = 0;
      for (const PatchCell& c : vents_[v].cells) {
        weighed += m[c.cell] * c.conductance * (u_[c.cell] - vent_u_[v]) / (1 + e * q);
        sum += m[c.cell] * c.conductance / (1 + e * q);
      }
      const double on_flow = n[v] - e * weighed / (1 + e * q);
      const double slope = orifice_slope_at(v, vent_u_[v]);
      miss[row] = -sum - on_flow * sum_of(vents_[v].cells) / (1 + 2 * e * q) - n[v] * slope;
      matrix(row, row) += slope;
    }
    const Eigen::VectorXd step = matrix.fullPivLu().solve(miss);
    double change = 0, size = 0;
    for (std::size_t v = 0; v < vents_.size(); ++v) {
      n[v] += step[static_cast<Eigen::Index>(v)];
      change = std::max(change, std::abs(step[static_cast<Eigen::Index>(v)]));
      size = std::max(size, std::abs(n[v]));
    }
    for (const std::uint32_t c : cells_) {
      change = std::max(change, std::abs(m[c] - last[c]));
      size = std::max(size, std::abs(m[c]));
    }
    response.converged = change <= settings_.tolerance * size;
    if (response.converged) break;
  }
  for (std::size_t v = 0; v < vents_.size(); ++v)
    response.by_log_orifice.push_back(follows(v) ? n[v] * orifice_flow_at(v, vent_u_[v]) : 0.0);
  response.by_new_outlet.assign(u_.size(), 0.0);
  for (const std::uint32_t c : cells_) response.by_new_outlet[c] = -m[c] * u_[c];
  return response;
}

}  // namespace boxfettle
