// Reading and writing surfaces and scans: STL (binary, ASCII), PLY (ASCII, both byte orders), OBJ, text
// points; reading STEP.
//
// The kind is found from the file's own bytes first and its name second. Numbers come back as the file has
// them, before any unit is applied; those of STEP, which says its unit, in mm. Memory stays in proportion to
// the file: a count that the file's size cannot hold is refused before anything is allocated.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "geometry/length_unit.hpp"
#include "geometry/point_cloud.hpp"
#include "geometry/step_file.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

// What was wrong with a mesh file and survived.
struct MeshFlaws {
  std::size_t zero_area = 0;  // dropped
  std::size_t duplicate = 0;  // same three vertices again, dropped
};

struct SurfaceFile {
  std::string kind;  // "binary STL", "ASCII STL", "binary PLY", "ASCII PLY", "OBJ", "text points", "STEP"
  std::variant<TriangleMesh, PointCloud> surface;  // STL corners are welded where they agree to the bit
  MeshFlaws flaws;
  std::optional<LengthUnit> unit = {};  // of the numbers, when the file says: mm for STEP
  std::vector<std::string> notes = {};  // what was assumed or left out, a sentence each
};

// Throws InputError: truncated, empty, text posing as STL, NaN or infinite numbers, a count that lies, no
// triangles and no points, an index out of range; and what read_step_file throws.
SurfaceFile read_surface_file(const std::filesystem::path& path, const StepReading& step = {});

// The same from bytes already in memory, STEP excepted; `file` is used in messages, and its ending as the
// name of the kind.
SurfaceFile read_surface_bytes(std::span<const std::byte> bytes, const std::string& file);

// As above, but a file without triangles is an InputError too.
TriangleMesh read_mesh_file(const std::filesystem::path& path);

// Written to a temporary name beside the target, synced, renamed: never half a file. Throws InputError when
// the place cannot be written.
void write_binary_stl(const TriangleMesh& mesh, const std::filesystem::path& path);
void write_binary_ply(const PointCloud& points, const std::filesystem::path& path);

}  // namespace boxfettle
