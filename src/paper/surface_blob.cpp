#include "paper/surface_blob.hpp"

#include <cstdint>
#include <limits>

#include "paper/blob_bytes.hpp"

namespace boxfettle {
namespace {

std::vector<std::uint16_t> finding_of_vertex(const ScanReading& reading, std::size_t vertices) {
  std::vector<std::uint16_t> finding(vertices, 0);
  const std::size_t shown = std::min<std::size_t>(reading.findings.size(), 0xFFFF);
  for (std::size_t i = shown; i-- > 0;)
    for (const std::size_t vertex : reading.findings[i].vertices)
      if (vertex < vertices) finding[vertex] = static_cast<std::uint16_t>(i + 1);
  return finding;
}

}  // namespace

std::vector<std::byte> surface_blob(const ScanReading& reading) {
  const TriangleMesh& surface = reading.surface;
  const std::size_t vertices = surface.vertices.size();
  const std::size_t triangles = surface.triangles.size();
  check_countable(surface);
  std::vector<std::byte> blob;
  blob.reserve(12 + vertices * (12 + 4 + 2) + triangles * 12);
  for (const char letter : {'B', 'F', 'S', '1'}) append_bytes(blob, letter);
  append_bytes(blob, static_cast<std::uint32_t>(vertices));
  append_bytes(blob, static_cast<std::uint32_t>(triangles));
  append_mesh(blob, surface);
  for (std::size_t i = 0; i < vertices; ++i)
    append_bytes(blob, i < reading.vertex_deviation_mm.size() ? reading.vertex_deviation_mm[i]
                                                              : std::numeric_limits<float>::quiet_NaN());
  for (const std::uint16_t finding : finding_of_vertex(reading, vertices)) append_bytes(blob, finding);
  return blob;
}

}  // namespace boxfettle
