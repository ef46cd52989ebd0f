// STL: a triangle soup, as 50 bytes a triangle or as words. It has no unit and no shared corners.
#pragma once

#include "geometry/surface_file.hpp"
#include "input/file_bytes.hpp"

namespace boxfettle {

// True when the size is what the count in the header asks for. The 80 bytes before it may say anything,
// "solid" too.
bool is_binary_stl(const FileBytes& file);

// Throws InputError: shorter or longer than its count says, a coordinate that is no place, no triangle with
// area.
SurfaceFile read_binary_stl(const FileBytes& file);

// Throws InputError: a word where another is due, cut short before endsolid, and as above.
SurfaceFile read_ascii_stl(std::span<const std::byte> bytes, const std::string& file);

}  // namespace boxfettle
