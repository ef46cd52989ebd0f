// Points as lines of text: XYZ, CSV, TXT.
#pragma once

#include "geometry/surface_file.hpp"

namespace boxfettle {

// Columns parted by comma, semicolon, tab or blanks, as the first line of numbers shows; a decimal comma
// wherever the comma does not part columns. Lines that are empty or begin with # or // are passed over. A
// first line of words is a header: columns named x, y, z (and nx, ny, nz) are taken from where they stand,
// else the first three are x, y, z. Without a header that names columns, the fourth to sixth are normals only
// if they have unit length in every line. Throws InputError: a line without three numbers, a coordinate that
// is no place, no points.
SurfaceFile read_text_points(std::span<const std::byte> bytes, const std::string& file);

}  // namespace boxfettle
