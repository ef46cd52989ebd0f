#include "venting/residence.hpp"

#include <tbb/parallel_sort.h>

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

// Cells that hang on the rest by one face, and on what: leaves are taken off until none is left.
std::vector<std::uint32_t> hanging(const GasFlow& flow) {
  const CutCells& cavity = flow.cavity();
  const StripGrid& grid = cavity.grid;
  std::vector<std::uint32_t> on(grid.value_count());
  std::vector<int> ways(grid.value_count(), 0);
  std::vector<char> has_opening(grid.value_count(), 0);
  for (const Inlet& inlet : flow.inlets())
    for (const PatchCell& c : inlet.cells) has_opening[c.cell] = 1;
  for (const VentPath& vent : flow.vents())
    for (const PatchCell& c : vent.cells) has_opening[c.cell] = 1;
  for (const LeakCell& leak : flow.leaks()) has_opening[leak.cell] = 1;
  std::vector<std::uint32_t> leaves;
  for (const std::uint32_t c : flow.cells()) {
    on[c] = c;
    for (const StripGrid::Face& face : grid.faces(c))
      ways[c] += cavity.aperture[static_cast<std::size_t>(face.axis)][face.holder] > 0;
    if (ways[c] <= 1 && has_opening[c] == 0) leaves.push_back(c);
  }
  for (std::size_t i = 0; i < leaves.size(); ++i)
    for (const StripGrid::Face& face : grid.faces(leaves[i]))
      if (cavity.aperture[static_cast<std::size_t>(face.axis)][face.holder] > 0 &&
          on[face.other] == face.other) {
        on[leaves[i]] = face.other;
        if (--ways[face.other] <= 1 && has_opening[face.other] == 0) leaves.push_back(face.other);
        break;
      }
  // Last taken off first: what a cell hangs on is settled before the cell.
  for (std::size_t i = leaves.size(); i-- > 0;) on[leaves[i]] = on[on[leaves[i]]];
  return on;
}

std::vector<double> inflow_from_outside(const GasFlow& flow) {
  std::vector<double> inflow(flow.cavity().grid.value_count(), 0.0);
  for (std::size_t i = 0; i < flow.inlets().size(); ++i)
    for (std::size_t k = 0; k < flow.inlets()[i].cells.size(); ++k)
      inflow[flow.inlets()[i].cells[k].cell] += std::max(flow.inlet_cell_flows()[i][k], 0.0);
  return inflow;
}

// Calls visit(neighbour, inflow) for every neighbour that feeds the cell.
template <typename Visit>
void each_feeder(const GasFlow& flow, std::uint32_t cell, const Visit& visit) {
  const auto faces = flow.cavity().grid.faces(cell);
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const double out = flow.face_flow(axis, cell, faces[2 * axis].other);
    if (out < 0) visit(faces[2 * axis].other, -out);
    const std::uint32_t low = faces[2 * axis + 1].other;
    const double in = flow.face_flow(axis, low, cell);
    if (in > 0) visit(low, in);
  }
}

}  // namespace

Residence residence(const GasFlow& flow) {
  Residence result;
  const std::vector<double> outside = inflow_from_outside(flow);
  result.hangs_on = hanging(flow);
  std::vector<double> held(outside.size(), 0.0);
  for (const std::uint32_t c : flow.cells())
    held[result.hangs_on[c]] += flow.pore_gas_kg(c) / flow.unit_flow_kg_s();
  for (const std::uint32_t c : flow.cells())
    if (result.hangs_on[c] == c) result.downstream.push_back(c);
  tbb::parallel_sort(result.downstream.begin(), result.downstream.end(),
                     [&](std::uint32_t a, std::uint32_t b) {
                       return flow.u(a) > flow.u(b) || (flow.u(a) == flow.u(b) && a < b);
                     });
  result.age_s.assign(outside.size(), 0.0);
  // A cell so still that only the solver's last digits move it: it is not left without an age.
  const double least = 1e-12 * flow.total_flow() / flow.unit_flow_kg_s();
  for (const std::uint32_t c : result.downstream) {
    double in = outside[c], carried = held[c];
    each_feeder(flow, c, [&](std::uint32_t from, double inflow) {
      in += inflow;
      carried += inflow * result.age_s[from];
    });
    result.age_s[c] = carried / std::max(in, least);
  }
  for (const std::uint32_t c : flow.cells()) result.age_s[c] = result.age_s[result.hangs_on[c]];
  double out = 0, aged = 0;
  flow.each_outflow([&](std::uint32_t cell, double outflow) {
    out += outflow;
    aged += outflow * result.age_s[cell];
  });
  result.mean_outlet_age_s = out > 0 ? aged / out : 0;
  return result;
}

double age_quantile_s(const GasFlow& flow, const Residence& residence, double share) {
  std::vector<std::pair<double, double>> cells;
  double all = 0;
  for (const std::uint32_t c : flow.cells()) {
    cells.emplace_back(residence.age_s[c], flow.pore_mm3(c));
    all += cells.back().second;
  }
  tbb::parallel_sort(cells.begin(), cells.end());
  double below = 0;
  for (const auto& [age, volume] : cells) {
    below += volume;
    if (below >= share * all) return age;
  }
  return cells.empty() ? 0 : cells.back().first;
}

GasFlow::Gradient age_gradient(const GasFlow& flow, const Residence& residence,
                               const std::vector<double>& weight) {
  const std::size_t count = residence.age_s.size();
  const std::vector<double> outside = inflow_from_outside(flow);
  std::vector<double> owed(count, 0.0), by_held(count, 0.0);
  for (const std::uint32_t c : flow.cells()) owed[residence.hangs_on[c]] += weight[c];
  const double least = 1e-12 * flow.total_flow() / flow.unit_flow_kg_s();
  for (std::size_t i = residence.downstream.size(); i-- > 0;) {
    const std::uint32_t c = residence.downstream[i];
    double in = outside[c];
    each_feeder(flow, c, [&](std::uint32_t, double inflow) { in += inflow; });
    by_held[c] = owed[c] / std::max(in, least);
    each_feeder(flow, c, [&](std::uint32_t from, double inflow) { owed[from] += by_held[c] * inflow; });
  }
  GasFlow::Gradient gradient{std::vector<double>(count, 0.0), {}, std::vector<double>(count, 0.0)};
  for (auto& axis : gradient.by_face_flow) axis.assign(count, 0.0);
  for (const std::uint32_t c : flow.cells()) {
    const std::uint32_t root = residence.hangs_on[c];
    gradient.by_u[c] = by_held[root] * flow.pore_gas_slope_kg(c) / flow.unit_flow_kg_s();
    if (root == c) gradient.by_inflow[c] = -by_held[c] * residence.age_s[c];
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const std::uint32_t other = flow.cavity().grid.faces(c)[2 * axis].other;
      const double out = flow.face_flow(axis, c, other);
      if (out == 0) continue;
      const double older = residence.age_s[other] - residence.age_s[c];
      if (out > 0 && residence.hangs_on[other] == other)
        gradient.by_face_flow[axis][c] = -by_held[other] * older;
      if (out < 0 && root == c) gradient.by_face_flow[axis][c] = -by_held[c] * older;
    }
  }
  return gradient;
}

}  // namespace boxfettle
