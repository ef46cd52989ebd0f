#include "paper/surface_blob.hpp"

#include <bit>
#include <cstdint>
#include <cstring>
#include <limits>
#include <stdexcept>
#include <type_traits>

namespace boxfettle {
namespace {

static_assert(std::endian::native == std::endian::little, "numbers are copied as they lie in memory");

template <class Number>
void append(std::vector<std::byte>& blob, Number number) {
  static_assert(std::is_arithmetic_v<Number>);
  const std::size_t end = blob.size();
  blob.resize(end + sizeof number);
  std::memcpy(blob.data() + end, &number, sizeof number);
}

std::vector<std::uint16_t> finding_of_vertex(const ScanReading& reading, std::size_t vertices) {
  std::vector<std::uint16_t> finding(vertices, 0);
  const std::size_t shown = std::min<std::size_t>(reading.findings.size(), 0xFFFF);
  for (std::size_t i = shown; i-- > 0;)
    for (const std::size_t vertex : reading.findings[i].vertices)
      if (vertex < vertices) finding[vertex] = static_cast<std::uint16_t>(i + 1);
  return finding;
}

}  // namespace

std::vector<std::byte> surface_blob(const TriangleMesh& design, const ScanReading& reading) {
  const std::size_t vertices = design.vertices.size();
  const std::size_t triangles = design.triangles.size();
  constexpr std::size_t most = std::numeric_limits<std::uint32_t>::max() / 3;
  if (vertices > most || triangles > most) throw std::length_error("the design is too large to be shown");

  std::vector<std::byte> blob;
  blob.reserve(12 + vertices * (12 + 4 + 2) + triangles * 12);
  for (const char letter : {'B', 'F', 'S', '1'}) append(blob, letter);
  append(blob, static_cast<std::uint32_t>(vertices));
  append(blob, static_cast<std::uint32_t>(triangles));
  for (const Eigen::Vector3d& vertex : design.vertices)
    for (const double coordinate_mm : vertex) append(blob, static_cast<float>(coordinate_mm));
  for (const Triangle& triangle : design.triangles)
    for (const std::uint32_t index : triangle) append(blob, index);
  for (std::size_t i = 0; i < vertices; ++i)
    append(blob, i < reading.vertex_deviation_mm.size() ? reading.vertex_deviation_mm[i]
                                                        : std::numeric_limits<float>::quiet_NaN());
  for (const std::uint16_t finding : finding_of_vertex(reading, vertices)) append(blob, finding);
  return blob;
}

}  // namespace boxfettle
