// A core seen from far away along one direction (orthographic), with what hides what settled by a z-buffer.
#pragma once

#include <cstdint>
#include <vector>

#include "geometry/mesh_topology.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

// Where the eye stands and how millimetres become pixels. Pixel (0, 0) is the top left one; its middle is at
// (0.5, 0.5).
struct ViewFrame {
  Eigen::Vector3d right, up, toward_eye;  // unit, square to each other, right-handed
  Eigen::Vector3d centre_mm;              // seen in the middle of the picture
  double mm_per_pixel;
  int width, height;

  // (x, y downward, height toward the eye in mm)
  Eigen::Vector3d at_picture(const Eigen::Vector3d& point_mm) const {
    const Eigen::Vector3d offset = point_mm - centre_mm;
    return {0.5 * width + right.dot(offset) / mm_per_pixel, 0.5 * height - up.dot(offset) / mm_per_pixel,
            toward_eye.dot(offset)};
  }
};

// The frame that looks against `toward_eye` with `upward` upright and the whole mesh just inside a picture of
// this size. `toward_eye` and `upward` need not be unit, but may not be parallel.
ViewFrame fitted_frame(const TriangleMesh& mesh, const Eigen::Vector3d& toward_eye,
                       const Eigen::Vector3d& upward, int width, int height);

struct CoreView {
  ViewFrame frame;
  std::vector<float> height_mm;         // toward the eye, of the nearest surface; lowest float where none
  std::vector<std::uint32_t> triangle;  // the nearest; no_triangle where the picture is empty

  std::size_t pixel(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(frame.width) + static_cast<std::size_t>(x);
  }
  bool covered(int x, int y) const { return triangle[pixel(x, y)] != no_triangle; }
  // Whether nothing stands more than `slack_mm` in front of the point. False outside the picture.
  bool shows(const Eigen::Vector3d& point_mm, double slack_mm) const;
};

// Triangles that face away are left out: the mesh is closed and outward.
CoreView seen_core(const TriangleMesh& mesh, const ViewFrame& frame);

// Shares of a triangle's corners at the middle of a pixel, in the picture.
Eigen::Vector3d corner_shares(const TriangleMesh& mesh, std::uint32_t triangle, const ViewFrame& frame, int x,
                              int y);

}  // namespace boxfettle
