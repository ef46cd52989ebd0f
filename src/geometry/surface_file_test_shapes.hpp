// Small surfaces and files that the readers are tried on.
#pragma once

#include <cstring>
#include <span>
#include <string>
#include <string_view>

#include "geometry/surface_file.hpp"

namespace boxfettle {

inline std::span<const std::byte> bytes_of(std::string_view text) {
  return std::as_bytes(std::span(text));
}

inline SurfaceFile read_text(std::string_view text, const std::string& file) {
  return read_surface_bytes(bytes_of(text), file);
}

// A block of a core, 40 x 30 x 20 mm: 8 vertices, 12 triangles, outward.
inline TriangleMesh block() {
  TriangleMesh mesh;
  for (int i = 0; i < 8; ++i)
    mesh.vertices.emplace_back((i & 1) * 40.0, (i >> 1 & 1) * 30.0, (i >> 2) * 20.0);
  mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                    {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return mesh;
}

// The bytes of a binary STL with any header and any count, right or wrong.
inline std::string binary_stl(const TriangleMesh& mesh, std::string_view header, std::uint32_t count) {
  std::string bytes(84 + 50 * mesh.triangles.size(), '\0');
  std::memcpy(bytes.data(), header.data(), header.size());
  std::memcpy(bytes.data() + 80, &count, sizeof count);
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (int c = 0; c < 3; ++c) {
      const Eigen::Vector3f corner = mesh.corner(t, c).cast<float>();
      std::memcpy(bytes.data() + 84 + 50 * t + 12 + 12 * static_cast<std::size_t>(c), corner.data(), 12);
    }
  return bytes;
}

inline std::string binary_stl(const TriangleMesh& mesh) {
  return binary_stl(mesh, "", static_cast<std::uint32_t>(mesh.triangles.size()));
}

inline std::string ascii_stl(const TriangleMesh& mesh) {
  std::string text = "solid block of a core\n";
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    text += "  facet normal 0 0 0\n    outer loop\n";
    for (int c = 0; c < 3; ++c) {
      const Eigen::Vector3d& corner = mesh.corner(t, c);
      text += "      vertex " + std::to_string(corner.x()) + " " + std::to_string(corner.y()) + " " +
              std::to_string(corner.z()) + "\n";
    }
    text += "    endloop\n  endfacet\n";
  }
  return text + "endsolid block of a core\n";
}

}  // namespace boxfettle
