#include "closing/convex_hull.hpp"

#include <algorithm>

namespace boxfettle {

using Eigen::Vector2d;

std::vector<Vector2d> convex_hull(std::span<const Vector2d> places_mm) {
  std::vector<Vector2d> places(places_mm.begin(), places_mm.end());
  std::sort(places.begin(), places.end(), [](const Vector2d& a, const Vector2d& b) {
    return a.x() != b.x() ? a.x() < b.x() : a.y() < b.y();
  });
  places.erase(std::unique(places.begin(), places.end()), places.end());
  if (places.size() < 3) return places;
  const auto turns_left = [](const Vector2d& a, const Vector2d& b, const Vector2d& c) {
    return (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x()) > 0;
  };
  std::vector<Vector2d> hull;
  const auto walk = [&](auto begin, auto end) {
    const std::size_t start = hull.size();
    for (auto place = begin; place != end; ++place) {
      while (hull.size() >= start + 2 && !turns_left(hull[hull.size() - 2], hull.back(), *place))
        hull.pop_back();
      hull.push_back(*place);
    }
    hull.pop_back();  // the last place begins the other side
  };
  walk(places.begin(), places.end());
  walk(places.rbegin(), places.rend());
  return hull;
}

}  // namespace boxfettle
