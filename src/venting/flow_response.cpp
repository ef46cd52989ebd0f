// GasFlow::response: the adjoint of the steady flow, exact for the equations as they are solved.
//
// With R the cells' balances, E the agreement of each vent's two flows, and multipliers m and n for them, the
// quantity J is followed through  J - m.R - n.E:  A m = dJ/du minus everything that the Picard rounds hold
// still (inertia of cells and openings, pressures behind vents), brought in round by round like they are.
#include <algorithm>
#include <cmath>

#include "venting/gas_flow.hpp"

namespace boxfettle {

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
    const double size = gradient_size(c);
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
      const double along = by_size / size / (open_high + open_low);
      if (open_high > 0) {
        const double change = along * open_high * (u_[high.other] - u_[c]);
        by_u[high.other] += change;
        by_u[c] -= change;
      }
      if (open_low > 0) {
        const double change = along * open_low * (u_[c] - u_[low.other]);
        by_u[c] += change;
        by_u[low.other] -= change;
      }
    }
  }
}

// Everything on the right of A m that the last m and n leave there.
void GasFlow::fill_right_side(const Gradient& gradient, const std::vector<double>& m,
                              const std::vector<double>& n, std::vector<double>& right) const {
  right = gradient.by_u;
  std::array<std::vector<double>, 3> by_face;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    by_face[axis].assign(u_.size(), 0.0);
    for (const std::uint32_t c : cells_) {
      const auto face = static_cast<double>(solver_->faces()[axis][c]);
      if (face == 0) continue;
      const std::uint32_t other = cavity_->grid.faces(c)[2 * axis].other;
      const double direct = gradient.by_face_flow[axis][c];
      right[c] += face * direct;
      right[other] -= face * direct;
      by_face[axis][c] = direct - (m[c] - m[other]);
    }
  }
  add_inertia_terms(by_face, right);
  for (std::size_t p = 0; p < ports_.size(); ++p)
    if (is_open(p))
      for (const PatchCell& c : *ports_[p].cells)
        right[c.cell] -= c.conductance * (n[p] + (p < inlets_.size() ? gradient.by_inflow[c.cell] : 0));
}

// The Newton step that makes the quantity stand still against each disc's pressure.
Eigen::VectorXd GasFlow::port_step(const Gradient& gradient, const std::vector<double>& m,
                                   const std::vector<double>& n) const {
  Eigen::VectorXd miss = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(ports_.size()));
  Eigen::MatrixXd matrix = port_matrix_;
  for (std::size_t p = 0; p < ports_.size(); ++p) {
    const auto row = static_cast<Eigen::Index>(p);
    if (!follows(p)) {
      matrix(row, row) = 1;
      continue;
    }
    const double slope = port_slope(p).by_u;
    double sum = n[p] * (ports_[p].conductance + slope);
    for (const PatchCell& c : *ports_[p].cells)
      sum += c.conductance * (m[c.cell] + (p < inlets_.size() ? gradient.by_inflow[c.cell] : 0));
    miss[row] = -sum;
    matrix(row, row) += slope;
  }
  return matrix.fullPivLu().solve(miss);
}

GasFlow::Response GasFlow::response(const Gradient& gradient) {
  Response response;
  std::vector<double> m(u_.size(), 0.0), n(ports_.size(), 0.0), right, last;
  take_response_matrix();
  double moved = 1;  // by the last round, of the largest multiplier
  for (int round = 0; round < 60 && !response.converged; ++round) {
    fill_right_side(gradient, m, n, right);
    last = m;
    SolveSettings settings;
    settings.relative_residual = std::clamp(1e-2 * moved, std::max(1e-3 * settings_.tolerance, 1e-12), 1e-4);
    solver_->solve(right, m, settings);
    const Eigen::VectorXd step = port_step(gradient, m, n);
    double change = step.cwiseAbs().maxCoeff(), size = 0;
    for (std::size_t p = 0; p < ports_.size(); ++p) {
      n[p] += step[static_cast<Eigen::Index>(p)];
      size = std::max(size, std::abs(n[p]));
    }
    for (const std::uint32_t c : cells_) {
      change = std::max(change, std::abs(m[c] - last[c]));
      size = std::max(size, std::abs(m[c]));
    }
    moved = size > 0 ? change / size : 0;
    response.converged = moved <= settings_.tolerance;
  }
  for (std::size_t p = inlets_.size(); p < ports_.size(); ++p)
    response.by_log_orifice.push_back(follows(p) ? n[p] * port_slope(p).by_log_orifice : 0.0);
  response.by_new_outlet.assign(u_.size(), 0.0);
  for (const std::uint32_t c : cells_) response.by_new_outlet[c] = -m[c] * u_[c];
  return response;
}

}  // namespace boxfettle
