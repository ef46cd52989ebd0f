// How a box fills: magazine, blow tubes, cavity, vents and parting gap, each as one vessel or one opening.
//
// The sand goes through the tubes as a dense stream at its bulk density, driven by the pressure between
// magazine and cavity, and takes the air in its pores along. The air it displaces leaves through vents and
// gap, compressible, choked or not. Gas of one temperature and gas without exchange of heat are the two
// limits; sand grains hold so much heat that the first is near the truth. docs/how/blowing.md
#pragma once

#include <string>
#include <vector>

#include "flow/gas.hpp"
#include "flow/slit_flow.hpp"

namespace boxfettle {

struct BlowPath {
  std::string id;
  double effective_m2;  // open area times discharge
};

struct BlowCase {
  double magazine_m3;  // of air, at the start
  double magazine_pa;
  double tube_m2;  // of all blow tubes
  double cavity_m3;
  double porosity;  // of the sand as it arrives
  double bulk_kg_m3;
  std::vector<BlowPath> vents;
  std::vector<Slit> gap;  // the parting outline in pieces
  double sand_discharge =
      0.6;  // of the dense stream through a tube (textbook value of a sharp edge, from memory)
  double cavity_start_pa = standard_atmosphere_pa;
  double outside_pa = standard_atmosphere_pa;
  double temperature_K = celsius_zero_K + 20;
  bool adiabatic = false;
  Gas gas = {};
  double tolerance = 1e-7;  // of each step, relative to every state's own size
  double longest_s = 60;    // a box not full by then does not fill
};

struct BlowRun {
  bool fills = false;
  double fill_time_s = 0;  // until full, or longest_s
  double peak_cavity_pa = 0;
  bool choked = false;          // any vent or piece of the gap, at any time
  double choked_share = 0;      // of the time
  std::vector<double> vent_kg;  // of air, by path
  double gap_kg = 0;
  double end_cavity_pa = 0, end_magazine_pa = 0;
  double end_cavity_K = 0;
  double filled_share = 0;
  double mass_error = 0;  // air unaccounted for, of all there was
  int steps = 0;
  double step_tolerance = 0;  // as asked for
};

BlowRun blow(const BlowCase& box);

}  // namespace boxfettle
