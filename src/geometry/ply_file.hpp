// PLY: elements with named properties, as words or as bytes of either order.
#pragma once

#include "geometry/surface_file.hpp"
#include "input/file_bytes.hpp"

namespace boxfettle {

// Vertices need x, y and z; nx, ny, nz become normals; any other property or element is passed over. Faces
// are lists `vertex_indices` or `vertex_index`, split into fans; without faces the vertices are points.
// Throws InputError: a header that is not PLY's, counts that the file's size cannot hold, an index out of
// range, a coordinate that is no place, more or less in the body than the header says.
SurfaceFile read_ply(const FileBytes& file);

}  // namespace boxfettle
