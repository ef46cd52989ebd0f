// What the state of a box's vents does to its filling and gassing, told to the logbook as reasons of the
// verdict.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <vector>

#include "service/air_study.hpp"
#include "shop/box_state.hpp"

namespace boxfettle {

inline constexpr const char* filling_figure = "filling";
inline constexpr const char* gassing_figure = "gassing";

// Of a study of the box as found: filling, and gassing where the process cures by gas. What the study could
// not tell is left out.
std::vector<Computed> study_figures(const nlohmann::json& study, Process process);

// Filling with so many vents blocked as an inspection counted, which does not say which ones: the widest are
// taken. Reads the design; throws InputError when it cannot be read or the box cannot be blown.
std::optional<Computed> counted_vents_figure(AirInputs air, int blocked, std::int64_t inspection,
                                             const StoredFiles& files);

// The vents an inspection counted as blocked or damaged; absent when the last inspection counted none of it.
std::optional<LastResult> counted_vents(const BoxState& state);

}  // namespace boxfettle
