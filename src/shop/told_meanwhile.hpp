// Whether somebody else told of the same while the sender had no network.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "shop/requests.hpp"

namespace boxfettle {

// The refusal, when what these bodies rest on or change was told of by somebody other than `who` after entry
// `seen`: whichever of the two comes second is not written silently over the other. Concessions and lists of
// suspect cores rest on everything there is to know of a box.
std::optional<Refusal> told_meanwhile(const BoxState& state, std::span<const EntryBody> bodies,
                                      const std::string& who, std::int64_t seen);

}  // namespace boxfettle
