// Numbers laid one after the other as bytes for a viewer: little endian, no padding.
#pragma once

#include <bit>
#include <cstddef>
#include <cstring>
#include <limits>
#include <stdexcept>
#include <type_traits>
#include <vector>

#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

static_assert(std::endian::native == std::endian::little, "numbers are copied as they lie in memory");

template <class Number>
void append_bytes(std::vector<std::byte>& blob, Number number) {
  static_assert(std::is_arithmetic_v<Number>);
  const std::size_t end = blob.size();
  blob.resize(end + sizeof number);
  std::memcpy(blob.data() + end, &number, sizeof number);
}

// Throws std::length_error when the mesh has more vertices or triangles than a viewer's 32 bits can count.
inline void check_countable(const TriangleMesh& mesh) {
  constexpr std::size_t most = std::numeric_limits<std::uint32_t>::max() / 3;
  if (mesh.vertices.size() > most || mesh.triangles.size() > most)
    throw std::length_error("the design is too large to be shown");
}

// float32 x, y, z of every vertex, then three uint32 of every triangle.
inline void append_mesh(std::vector<std::byte>& blob, const TriangleMesh& mesh) {
  for (const Eigen::Vector3d& vertex : mesh.vertices)
    for (const double coordinate_mm : vertex) append_bytes(blob, static_cast<float>(coordinate_mm));
  for (const Triangle& triangle : mesh.triangles)
    for (const std::uint32_t index : triangle) append_bytes(blob, index);
}

}  // namespace boxfettle
