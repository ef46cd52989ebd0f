#include "venting/venting_box.hpp"

#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <map>
#include <numbers>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector3d;

std::string fixed(double value, int digits) {
  char text[40];
  std::snprintf(text, sizeof text, "%.*f", digits, value);
  return text;
}

void check_closed(const MeshTopology& topology) {
  const std::size_t faults = topology.open_edges + topology.contradicting_edges + topology.crowded_edges;
  if (faults == 0) return;
  throw InputError("design", std::to_string(faults) + " edges",
                   "do not close the surface: inside and outside cannot be told apart",
                   "export the core's design as one closed solid");
}

double memory_allowed(const VentingSettings& settings) {
  if (settings.most_bytes > 0) return static_cast<double>(settings.most_bytes);
  return 0.5 * static_cast<double>(::sysconf(_SC_PHYS_PAGES)) * static_cast<double>(::sysconf(_SC_PAGESIZE));
}

void check_memory(const TriangleMesh& design, double voxel_mm, const VentingSettings& settings) {
  const double allowed = memory_allowed(settings);
  if (study_bytes(design, voxel_mm) <= allowed) return;
  double fits = voxel_mm;
  while (study_bytes(design, fits) > allowed) fits *= 1.05;
  throw InputError("--voxel-mm", fixed(voxel_mm, 3),
                   "would need about " + fixed(study_bytes(design, voxel_mm) / 1e9, 1) + " GB",
                   "a voxel of " + fixed(std::ceil(fits * 100) / 100, 2) + " mm fits");
}

// The cell that a place on the wall opens into: its own, or the fullest beside it where the wall leaves that
// one empty.
std::uint32_t cell_at_wall(const CutCells& cavity, const Vector3d& at_mm) {
  const auto at = cavity.lattice.place_of(at_mm);
  std::uint32_t best = StripGrid::no_cell;
  const auto look = [&](int x, int y, int z) {
    const std::uint32_t cell = cavity.grid.cell(at[0] + x, at[1] + y, at[2] + z);
    if (cell != StripGrid::no_cell && cavity.volume[cell] > 0 &&
        (best == StripGrid::no_cell || cavity.volume[cell] > cavity.volume[best]))
      best = cell;
  };
  look(0, 0, 0);
  if (best != StripGrid::no_cell) return best;
  for (int i = 0; i < 27; ++i) look(i % 3 - 1, i / 3 % 3 - 1, i / 9 - 1);
  return best;
}

double discs_mm2(double diameter_mm) {
  return std::numbers::pi / 4 * diameter_mm * diameter_mm;
}

}  // namespace

PackedSand sand_of(const CoreBox& box) {
  PackedSand sand = packed_sand(box.sand.grain_fineness, box.sand.bulk_density_g_cm3);
  if (box.sand.permeability_number)
    sand.permeability_m2 = permeability_m2_of_number(*box.sand.permeability_number);
  return sand;
}

std::string assumed_openings(double vent_discharge, double land_mm, bool face_may_leak) {
  return "Assumed: a discharge of " + fixed(vent_discharge, 2) + " through the vents' open area" +
         (face_may_leak ? ", and a sealing land of " + fixed(land_mm, 0) + " mm that a leak must cross."
                        : ".");
}

double automatic_voxel_mm(const TriangleMesh& design) {
  const double volume = std::abs(enclosed_volume_mm3(design)), area = area_mm2(design);
  const double by_count = std::cbrt(volume / 250000);
  const double by_thickness = 2 * volume / std::max(area, 1e-300) / 4;
  const double voxel = std::max(std::min(by_count, by_thickness), std::cbrt(volume / 2e6));
  return std::max(std::floor(voxel * 20) / 20, 0.05);
}

double study_bytes(const TriangleMesh& design, double voxel_mm) {
  // Measured on the demo's cores: some 330 bytes a cell at the peak, and 8 for every strip of the whole box.
  const Eigen::Vector3d size = bounds(design).high - bounds(design).low;
  const double cells = std::abs(enclosed_volume_mm3(design)) / std::pow(voxel_mm, 3) +
                       8 * area_mm2(design) / (voxel_mm * voxel_mm);
  const double box = size.prod() / std::pow(voxel_mm, 3) / 16;
  const double longest = size.maxCoeff() / voxel_mm;
  return longest > 60000 ? 1e300 : 330 * cells + 8 * box;
}

VentingBox::VentingBox(const TriangleMesh& design, const CoreBox& box, const VentingSettings& settings,
                       double voxel_mm)
    : design_(&design),
      box_(&box),
      vent_discharge_(settings.vent_discharge),
      surface_(design),
      sand_(sand_of(box)),
      state_{.inlet_pa = standard_atmosphere_pa + box.air.gas_bar * 1e5,
             .temperature_K = celsius_zero_K + box.air.gas_temperature_C} {
  check_closed(surface_.topology());
  if (box.blow_inlets.empty())
    throw InputError("box", "blow", "there is no blow inlet: gas has no way in",
                     "add a [[blow]] table for each");
  if (box.vents.empty() && !settings.opening_mm)
    throw InputError("box", "vent", "there is no vent: gas has no way out", "add a [[vent]] table for each");
  check_memory(design, voxel_mm, settings);
  cavity_ = cut_cells(design, lattice_around(design, voxel_mm));
  for (const BlowInlet& inlet : box.blow_inlets)
    inlets_.push_back({inlet.id,
                       wall_patch(*cavity_, disc("blow " + inlet.id, inlet.at_design_mm, inlet.diameter_mm)),
                       discs_mm2(inlet.diameter_mm)});
  for (const Vent& vent : box.vents)
    vents_.push_back({vent.id,
                      wall_patch(*cavity_, disc("vent " + vent.id, vent.at_design_mm, vent.diameter_mm)),
                      discs_mm2(vent.diameter_mm),
                      {}});
  for (const Inlet& inlet : inlets_)
    if (inlet.cells.empty())
      throw InputError("box", "blow " + inlet.id, "no cavity is found behind it", "use a smaller voxel");
  find_leaks(settings);
}

// The wall under an opening faces the mean way of the triangles within its disc.
WallDisc VentingBox::disc_at(const Vector3d& at_mm, double diameter_mm) const {
  const SurfacePoint nearest = surface_.closest(at_mm);
  const double radius = 0.5 * diameter_mm;
  Vector3d outward = doubled_area_vector(*design_, nearest.triangle).normalized();
  Vector3d sum = Vector3d::Zero();
  for (std::size_t t = 0; t < design_->triangles.size(); ++t) {
    const Vector3d middle = (design_->corner(t, 0) + design_->corner(t, 1) + design_->corner(t, 2)) / 3;
    const Vector3d area = doubled_area_vector(*design_, t);
    if ((middle - nearest.at_mm).norm() < radius && area.dot(outward) > 0) sum += area;
  }
  if (sum.norm() > 0) outward = sum.normalized();
  return {nearest.at_mm, -outward, radius};
}

WallDisc VentingBox::disc(const std::string& place, const Vector3d& at_mm, double diameter_mm) {
  const double off_mm = (surface_.closest(at_mm).at_mm - at_mm).norm();
  const double voxel_mm = cavity_->lattice.voxel_mm;
  if (off_mm > voxel_mm)
    throw InputError("box", place,
                     "stands " + fixed(off_mm, 2) + " mm off the cavity's wall, more than a voxel of " +
                         fixed(voxel_mm, 2) + " mm",
                     "give its place on the wall, in the design's own coordinates");
  if (off_mm > 0.01)
    notes_.push_back(place + " was moved " + fixed(off_mm, 2) + " mm to the wall (up to a voxel, " +
                     fixed(voxel_mm, 2) + " mm, is).");
  return disc_at(at_mm, diameter_mm);
}

void VentingBox::find_leaks(const VentingSettings& settings) {
  if (!settings.opening_mm) return;
  constexpr double least_opening_mm = 0.005;  // less is roughness
  std::map<std::uint32_t, LeakCell> by_cell;
  for (const OutlinePiece& piece : parting_outline(*design_, box_->parting)) {
    const double opening = settings.opening_mm(box_->parting.at_parting_mm(piece.at_design_mm));
    if (!(opening > least_opening_mm)) continue;
    const std::uint32_t cell = cell_at_wall(*cavity_, piece.at_design_mm);
    if (cell == StripGrid::no_cell) continue;
    LeakCell& leak = by_cell.try_emplace(cell, LeakCell{cell, 0, 0, settings.land_mm * 1e-3}).first->second;
    const double width = leak.width_m + piece.length_mm * 1e-3;
    leak.height_m = (leak.height_m * leak.width_m + opening * 1e-3 * piece.length_mm * 1e-3) / width;
    leak.width_m = width;
  }
  for (const auto& [cell, leak] : by_cell) leaks_.push_back(leak);
}

double VentingBox::orifice_m2(std::size_t vent, double plugged) const {
  const Vent& v = box_->vents[vent];
  return discs_mm2(v.diameter_mm) * 1e-6 * v.open_fraction * (1 - plugged) * vent_discharge_;
}

GasFlow VentingBox::flow(State state, const FlowSettings& settings) const {
  std::vector<VentPath> vents = vents_;
  for (std::size_t v = 0; v < vents.size(); ++v)
    vents[v].orifice_m2 = orifice_m2(v, state == State::as_found ? box_->vents[v].plugged : 0);
  return {*cavity_, sand_, state_,
          inlets_,  vents, state == State::as_found ? leaks_ : std::vector<LeakCell>{},
          settings};
}

GasFlow VentingBox::flow_with(VentPath more, const FlowSettings& settings) const {
  std::vector<VentPath> vents = vents_;
  for (std::size_t v = 0; v < vents.size(); ++v) vents[v].orifice_m2 = orifice_m2(v, box_->vents[v].plugged);
  vents.push_back(std::move(more));
  return {*cavity_, sand_, state_, inlets_, vents, leaks_, settings};
}

std::vector<Vector3d> VentingBox::openings_mm() const {
  std::vector<Vector3d> places;
  for (const BlowInlet& inlet : box_->blow_inlets) places.push_back(inlet.at_design_mm);
  for (const Vent& vent : box_->vents) places.push_back(vent.at_design_mm);
  return places;
}

std::vector<std::uint32_t> VentingBox::open_cells() const {
  std::vector<std::uint32_t> cells;
  for (std::size_t v = 0; v < vents_.size(); ++v)
    if (box_->vents[v].plugged < 1)
      for (const PatchCell& c : vents_[v].cells) cells.push_back(c.cell);
  for (const LeakCell& leak : leaks_) cells.push_back(leak.cell);
  return cells;
}

}  // namespace boxfettle
