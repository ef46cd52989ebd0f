// Where on the wall one more vent would help most.
#pragma once

#include <optional>
#include <vector>

#include "venting/venting_box.hpp"

namespace boxfettle {

struct VentPlace {
  Eigen::Vector3d where_mm;  // on the wall
  int rank;                  // 1 helps most
  // How much sooner the part reached last is reached for each bit of a small opening there, over what it is
  // at the best place: the order of places, no forecast.
  double relative;
  // By how much sooner, of its age, with a vent like the box's mean one: solved, on the study's coarser
  // voxels.
  std::optional<double> saves_share = {};
};

struct VentPlaceSettings {
  std::size_t most = 240;  // places on the map
  double apart_mm;         // from each other and from every opening there is
};

// The wall cells by what the adjoint says of a small outlet there (GasFlow::Response::by_new_outlet), no two
// closer than `apart_mm`; best first. Places where an outlet would do harm are not among them.
std::vector<VentPlace> ranked_places(const VentingBox& box, const GasFlow& flow,
                                     const GasFlow::Response& response, const VentPlaceSettings& settings);

// The first of each neighbourhood of this size, up to so many: what is worth solving.
std::vector<std::size_t> leaders(const std::vector<VentPlace>& places, double apart_mm, std::size_t most);

}  // namespace boxfettle
