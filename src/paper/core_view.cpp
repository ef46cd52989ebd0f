#include "paper/core_view.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace boxfettle {
namespace {

// Twice the area of the triangle a, b, p in the picture, positive when it turns left on paper (y is down).
double turn(const Eigen::Vector3d& a, const Eigen::Vector3d& b, double x, double y) {
  return (b.y() - a.y()) * (x - a.x()) - (b.x() - a.x()) * (y - a.y());
}

struct Flat {
  std::array<Eigen::Vector3d, 3> corner;
  double doubled_area;  // negative when it faces away

  Eigen::Vector3d shares(double x, double y) const {
    return Eigen::Vector3d(turn(corner[1], corner[2], x, y), turn(corner[2], corner[0], x, y),
                           turn(corner[0], corner[1], x, y)) /
           doubled_area;
  }
};

Flat flat(const TriangleMesh& mesh, std::size_t t, const ViewFrame& frame) {
  Flat f;
  for (int k = 0; k < 3; ++k) f.corner[static_cast<std::size_t>(k)] = frame.at_picture(mesh.corner(t, k));
  f.doubled_area = turn(f.corner[0], f.corner[1], f.corner[2].x(), f.corner[2].y());
  return f;
}

struct Range {
  int first, last;
};

// The pixels whose middles lie between `low` and `high`.
Range middles(double low, double high, int count) {
  return {std::max(0, static_cast<int>(std::ceil(low - 0.5))),
          std::min(count - 1, static_cast<int>(std::floor(high - 0.5)))};
}

void draw(CoreView& view, const Flat& f, std::uint32_t t) {
  const auto [left, right] = std::minmax({f.corner[0].x(), f.corner[1].x(), f.corner[2].x()});
  const auto [top, bottom] = std::minmax({f.corner[0].y(), f.corner[1].y(), f.corner[2].y()});
  const Range columns = middles(left, right, view.frame.width),
              rows = middles(top, bottom, view.frame.height);
  for (int y = rows.first; y <= rows.last; ++y)
    for (int x = columns.first; x <= columns.last; ++x) {
      const Eigen::Vector3d share = f.shares(x + 0.5, y + 0.5);
      // Both neighbours take an edge, slivers too: rounding may not leave a crack to look through.
      constexpr double shared_edge_px2 = -1e-6;
      if (share.minCoeff() * f.doubled_area < shared_edge_px2) continue;
      const double height =
          share[0] * f.corner[0].z() + share[1] * f.corner[1].z() + share[2] * f.corner[2].z();
      const std::size_t at = view.pixel(x, y);
      if (static_cast<float>(height) <= view.height_mm[at]) continue;
      view.height_mm[at] = static_cast<float>(height);
      view.triangle[at] = t;
    }
}

}  // namespace

ViewFrame fitted_frame(const TriangleMesh& mesh, const Eigen::Vector3d& toward_eye,
                       const Eigen::Vector3d& upward, int width, int height) {
  ViewFrame frame;
  frame.toward_eye = toward_eye.normalized();
  frame.right = upward.cross(frame.toward_eye).normalized();
  frame.up = frame.toward_eye.cross(frame.right);
  Bounds seen;
  for (const Eigen::Vector3d& v : mesh.vertices)
    seen.include({frame.right.dot(v), frame.up.dot(v), frame.toward_eye.dot(v)});
  const Eigen::Vector3d middle = seen.centre(), size = seen.high - seen.low;
  frame.centre_mm = middle.x() * frame.right + middle.y() * frame.up + middle.z() * frame.toward_eye;
  frame.width = width;
  frame.height = height;
  constexpr double border = 4;  // pixels left free, both sides together
  frame.mm_per_pixel = std::max({size.x() / (width - border), size.y() / (height - border), 1e-9});
  return frame;
}

bool CoreView::shows(const Eigen::Vector3d& point_mm, double slack_mm) const {
  const Eigen::Vector3d at = frame.at_picture(point_mm);
  if (!(at.x() >= 0 && at.y() >= 0 && at.x() < frame.width && at.y() < frame.height)) return false;
  const std::size_t here = pixel(static_cast<int>(at.x()), static_cast<int>(at.y()));
  return triangle[here] != no_triangle && at.z() > static_cast<double>(height_mm[here]) - slack_mm;
}

CoreView seen_core(const TriangleMesh& mesh, const ViewFrame& frame) {
  const std::size_t pixels = static_cast<std::size_t>(frame.width) * static_cast<std::size_t>(frame.height);
  CoreView view{frame, std::vector<float>(pixels, std::numeric_limits<float>::lowest()),
                std::vector<std::uint32_t>(pixels, no_triangle)};
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Flat f = flat(mesh, t, frame);
    if (f.doubled_area > 0) draw(view, f, static_cast<std::uint32_t>(t));
  }
  return view;
}

Eigen::Vector3d corner_shares(const TriangleMesh& mesh, std::uint32_t triangle, const ViewFrame& frame, int x,
                              int y) {
  return flat(mesh, triangle, frame).shares(x + 0.5, y + 0.5);
}

}  // namespace boxfettle
