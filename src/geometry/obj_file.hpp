// OBJ: vertices and polygons as lines of text.
#pragma once

#include "geometry/surface_file.hpp"

namespace boxfettle {

// Polygons are split into fans. Without faces the vertices are points, with `vn` as their normals when there
// is one for each. Throws InputError: an unknown line, a word that is no number, an index out of range,
// nothing to read.
SurfaceFile read_obj(std::span<const std::byte> bytes, const std::string& file);

}  // namespace boxfettle
