// Which pins and bushes to renew so that the worst shift comes under its limit, at the least effort.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "closing/fit.hpp"
#include "corebox/core_box.hpp"

namespace boxfettle {

// Efforts are common practice: a pin is knocked out from behind, a bush is pressed out and its seat cleaned,
// an oversize pin is turned for this one bush.
struct RenewalSettings {
  Fit fit{{"H", 7}, {"g", 6}};
  double pin_effort = 1, oversize_pin_effort = 1.5, bush_effort = 2;
  double oversize_step_mm = 0.1;  // standard oversizes: nominal + 0.1, 0.2, ...
  double most_oversize_mm = 0.5;
  double least_clearance_mm = 0.005;  // an oversize pin must still enter
};

enum class Renewed { pin, oversize_pin, bush, pin_with_bush };
std::string_view name(Renewed what);  // "new pin", "oversize pin", "new bush", "new pin and bush"

struct DowelChange {
  std::size_t dowel;  // index into the box's dowels
  Renewed what;
  double nominal_mm;  // of the new part
  Dowel after;        // with the loosest sizes that the fit allows the new parts
  double effort;
};

struct Renewal {
  std::vector<DowelChange> changes;
  double worst_mm = 0;  // with them
  double effort = 0;
};

// The size that a pin was made to: the whole or half millimetre between pin and bush, else the next above the
// pin.
double nominal_size_mm(const Dowel& dowel);

// Everything that could be done to one dowel and would narrow it.
std::vector<DowelChange> possible_changes(std::span<const Dowel> dowels, std::size_t which,
                                          const RenewalSettings& settings = {});

// The least effort that brings the worst shift over `places_mm` to `limit_mm` or below; when several cost the
// same, the one with the smallest shift. Empty when nothing here does.
std::optional<Renewal> cheapest_renewal(std::span<const Dowel> dowels,
                                        std::span<const Eigen::Vector2d> places_mm, double limit_mm,
                                        const RenewalSettings& settings = {});

}  // namespace boxfettle
