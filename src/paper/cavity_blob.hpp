// A study's cavity as bytes for a viewer that cuts it open. Little endian, no padding:
//   'BFA1'                          four bytes
//   uint32 V, uint32 T              vertices, triangles of the design's surface
//   uint32[3]                       cells along x, y, z; N is their product
//   float32[3], float32             lowest corner and edge of a cell, design mm
//   float32 low, float32 high       ages in s that codes 0 and 255 stand for; in between by equal ratios
//   float32[3V]                     vertex positions, design mm
//   uint32[3T]                      vertex indices of the triangles
//   uint8[4N]                       of each cell, x fastest: code of the age; part inside; share of the
//                                   cavity that is full when the front comes; 255 in a pocket of shut-in air,
//                                   else 0. Parts and shares from 0 to 255.
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/triangle_mesh.hpp"
#include "venting/cavity_picture.hpp"

namespace boxfettle {

// Throws std::length_error when the mesh has more vertices or triangles than the format can count.
std::vector<std::byte> cavity_blob(const TriangleMesh& design, const CavityPicture& picture);

}  // namespace boxfettle
