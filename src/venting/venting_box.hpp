// A box made ready for gas: its cavity on a grid, its vents and blow inlets found on the wall.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "corebox/core_box.hpp"
#include "geometry/closest_point.hpp"
#include "venting/gas_flow.hpp"
#include "venting/parting_outline.hpp"
#include "venting/venting_lines.hpp"

namespace boxfettle {

struct PluggingRate {
  double per_hour;     // of the open area, lost from clean
  std::string origin;  // "3 vent checks on record"
};

struct VentingSettings {
  std::optional<double> voxel_mm;  // absent: fine enough for thin places, small enough to answer in seconds
  bool inertia = true;             // false: Darcy alone
  double vent_discharge = 0.65;    // of a vent's open area; sharp-edged slots (textbook value, from memory)
  double land_mm = 20;             // sealing land that a leak must cross; a box file does not say it
  // How far the halves stand apart at a place of the parting face; absent: not at all.
  std::function<double(const Eigen::Vector2d& at_parting_mm)> opening_mm;
  // How fast a vent plugs; absent, or nothing for a vent: hourly cleaning, common practice.
  std::function<std::optional<PluggingRate>(const std::string& vent)> plugging;
  VentingLines lines;
  std::size_t picture_cells = 0;  // of VentingStudy::picture, at most about so many; 0: none is made
  std::size_t most_bytes = 0;     // 0: half of the machine's memory
  // Hears how far the study is; false stops it.
  std::function<bool(double share, std::string_view step)> progress;
};

struct VentingCancelled {};  // thrown when `progress` said stop

// The voxel when nobody asks for one: about a quarter of a million cells, but four across the mean thickness.
double automatic_voxel_mm(const TriangleMesh& design);

// About what a study on this voxel holds at its peak.
double study_bytes(const TriangleMesh& design, double voxel_mm);

class VentingBox {
 public:
  // Throws InputError (file "design" or "box"): no inlet, no vent, an opening further off the wall than a
  // voxel, a design that is not closed, a voxel whose grid would not fit the memory allowed.
  VentingBox(const TriangleMesh& design, const CoreBox& box, const VentingSettings& settings,
             double voxel_mm);

  const CutCells& cavity() const { return *cavity_; }
  const std::vector<LeakCell>& leaks() const { return leaks_; }
  const std::vector<std::string>& notes() const { return notes_; }

  // As found, or as designed: vents clean, halves shut.
  enum class State { as_found, as_designed };
  GasFlow flow(State state, const FlowSettings& flow) const;
  GasFlow flow_with(VentPath more, const FlowSettings& flow) const;  // as found, with one more vent
  double orifice_m2(std::size_t vent, double plugged) const;
  WallDisc disc_at(const Eigen::Vector3d& at_mm, double diameter_mm) const;
  std::vector<std::uint32_t> open_cells() const;  // where air leaves, as found
  Eigen::Vector3d on_wall(const Eigen::Vector3d& near_mm) const { return surface_.closest(near_mm).at_mm; }
  std::vector<Eigen::Vector3d> openings_mm() const;  // inlets and vents
  const GasState& state() const { return state_; }
  const PackedSand& sand() const { return sand_; }

 private:
  WallDisc disc(const std::string& place, const Eigen::Vector3d& at_mm, double diameter_mm);
  void find_leaks(const VentingSettings& settings);

  const TriangleMesh* design_;
  const CoreBox* box_;
  double vent_discharge_;
  SurfaceIndex surface_;
  std::optional<CutCells> cavity_;
  PackedSand sand_;
  GasState state_;
  std::vector<Inlet> inlets_;
  std::vector<VentPath> vents_;  // without their openings
  std::vector<LeakCell> leaks_;
  std::vector<std::string> notes_;
};

PackedSand sand_of(const CoreBox& box);

// What a study takes for granted of the openings, as a note says it.
std::string assumed_openings(double vent_discharge, double land_mm, bool face_may_leak);

}  // namespace boxfettle
