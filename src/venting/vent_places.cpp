#include "venting/vent_places.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

using Eigen::Vector3d;

bool at_the_wall(const CutCells& cavity, std::uint32_t cell) {
  for (const StripGrid::Face& face : cavity.grid.faces(cell))
    if (cavity.aperture[static_cast<std::size_t>(face.axis)][face.holder] == 0) return true;
  return false;
}

// Places kept so far.
class Spread {
 public:
  explicit Spread(double apart_mm) : apart_mm_(apart_mm) {}

  bool has_near(const Vector3d& at) const {
    return std::any_of(kept_.begin(), kept_.end(), [&](const Vector3d& other) {
      return (at - other).squaredNorm() < apart_mm_ * apart_mm_;
    });
  }
  void keep(const Vector3d& at) { kept_.push_back(at); }

 private:
  double apart_mm_;
  std::vector<Vector3d> kept_;
};

}  // namespace

std::vector<VentPlace> ranked_places(const VentingBox& box, const GasFlow& flow,
                                     const GasFlow::Response& response, const VentPlaceSettings& settings) {
  const CutCells& cavity = flow.cavity();
  std::vector<std::uint32_t> wall;
  for (const std::uint32_t c : flow.cells())
    if (response.by_new_outlet[c] < 0 && at_the_wall(cavity, c)) wall.push_back(c);
  std::sort(wall.begin(), wall.end(), [&](std::uint32_t a, std::uint32_t b) {
    return response.by_new_outlet[a] < response.by_new_outlet[b] ||
           (response.by_new_outlet[a] == response.by_new_outlet[b] && a < b);
  });
  Spread spread(settings.apart_mm);
  for (const Vector3d& opening : box.openings_mm()) spread.keep(opening);
  std::vector<VentPlace> places;
  for (const std::uint32_t c : wall) {
    if (places.size() == settings.most) break;
    const Vector3d at = box.on_wall(cavity.lattice.centre_mm(cavity.grid.place(c)));
    if (spread.has_near(at)) continue;
    spread.keep(at);
    const double best = response.by_new_outlet[wall.front()];
    places.push_back({at, static_cast<int>(places.size() + 1), response.by_new_outlet[c] / best});
  }
  return places;
}

std::vector<std::size_t> leaders(const std::vector<VentPlace>& places, double apart_mm, std::size_t most) {
  Spread spread(apart_mm);
  std::vector<std::size_t> chosen;
  for (std::size_t i = 0; i < places.size() && chosen.size() < most; ++i) {
    if (spread.has_near(places[i].where_mm)) continue;
    spread.keep(places[i].where_mm);
    chosen.push_back(i);
  }
  return chosen;
}

}  // namespace boxfettle
