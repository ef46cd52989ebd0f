// The keys of a box file, table by table. docs/how/box-file.md tells what each means.
#pragma once

#include <array>
#include <string_view>

namespace boxfettle::box_keys {

template <std::size_t N>
using Keys = std::array<std::string_view, N>;

inline constexpr Keys<14> file{"box",         "parting",     "limits",    "dowel",       "watch_point",
                               "gap_reading", "clamp",       "vent",      "blow",        "air",
                               "sand",        "loose_piece", "scan_pose", "datum_target"};
inline constexpr Keys<7> box{"id", "name", "process", "material", "design", "design_unit", "temperature_C"};
inline constexpr Keys<2> parting{"point_mm", "normal"};
inline constexpr Keys<5> limits{"surface_mm", "casting_grade", "mismatch_mm", "gap_mm", "weight_percent"};
inline constexpr Keys<8> dowel{"id",   "at_mm",     "pin_mm",         "bush_mm",
                               "kind", "slot_axis", "slot_length_mm", "bush_at_mm"};
inline constexpr Keys<2> watch_point{"id", "at_mm"};
inline constexpr Keys<3> gap_reading{"at_mm", "clamped_mm", "unclamped_mm"};
inline constexpr Keys<7> clamp{"id", "at_mm", "kind", "thread", "class", "torque_Nm", "force_N"};
inline constexpr Keys<6> vent{"id", "at_mm", "diameter_mm", "open_fraction", "plugged", "half"};
inline constexpr Keys<3> blow{"id", "at_mm", "diameter_mm"};
inline constexpr Keys<12> air{"blow_bar",
                              "magazine_litre",
                              "gas_bar",
                              "gas_temperature_C",
                              "gas_seconds",
                              "reached_last_percent",
                              "slower_at_most_percent",
                              "unpurged_at_most_percent",
                              "watch_plugged_percent",
                              "leak_at_most_percent",
                              "watch_fill_slower_percent",
                              "hold_fill_slower_percent"};
inline constexpr Keys<3> sand{"grain_fineness", "bulk_density_g_cm3", "permeability_number"};
inline constexpr Keys<4> loose_piece{"id", "name", "region_min_mm", "region_max_mm"};
inline constexpr Keys<2> scan_pose{"rotation", "translation_mm"};
inline constexpr Keys<3> datum_target{"id", "at_mm", "scan_mm"};

inline constexpr Keys<5> processes{"cold-box", "hot-box", "shell", "co2", "no-bake"};
inline constexpr Keys<6> materials{"aluminium", "grey-iron", "steel", "brass", "resin", "wood"};
inline constexpr Keys<4> units{"mm", "cm", "m", "inch"};
inline constexpr Keys<2> bushes{"round", "slot"};
inline constexpr Keys<2> clamps{"bolt", "toggle"};
inline constexpr Keys<2> halves{"lower", "upper"};
// ISO 898-1:2013, table 1: property classes of bolts and screws (from memory).
inline constexpr Keys<9> strength_classes{"4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9"};

}  // namespace boxfettle::box_keys
