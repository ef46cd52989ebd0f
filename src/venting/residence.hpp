// How long gas has been on its way when it reaches a place: carried along the flow from cell to cell.
//
//   sum over inflows F_ji (t_i - t_j) + F_in (t_i - 0) = gas held by cell i
//
// First-order upwind: mass is kept to the last digit (the mean age at the outlets is the gas held over the
// flow) and no cell can be younger than all it is fed from. Places that only one way leads into carry no
// steady flow; they count with the cell they hang on.
#pragma once

#include "venting/gas_flow.hpp"

namespace boxfettle {

struct Residence {
  std::vector<double> age_s;              // of every cell that takes part
  std::vector<std::uint32_t> downstream;  // cells from inlet to outlet, each after all that feed it
  std::vector<std::uint32_t> hangs_on;    // of a cell without flow: the one it counts with; else itself
  double mean_outlet_age_s = 0;           // flow-weighted, over vents and leaks
};

Residence residence(const GasFlow& flow);

// The age below which this share of the pore space lies.
double age_quantile_s(const GasFlow& flow, const Residence& residence, double share);

// Of an age averaged with `weight` (of every cell): how it changes with u, the face flows and the inflows.
GasFlow::Gradient age_gradient(const GasFlow& flow, const Residence& residence,
                               const std::vector<double>& weight);

}  // namespace boxfettle
