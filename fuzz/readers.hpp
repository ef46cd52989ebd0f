// What is tried on each reader: it may read the bytes or refuse them with InputError. Anything else ends the
// program.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string_view>

#include "geometry/surface_file.hpp"

namespace boxfettle::fuzz {

using Bytes = std::span<const std::byte>;

void stl(Bytes bytes);
void ply(Bytes bytes);
void obj(Bytes bytes);
void points(Bytes bytes);
void box_file(Bytes bytes);
void step(Bytes bytes);
void table(Bytes bytes);

struct Reader {
  std::string_view name;  // and the folder of its corpus
  void (*attempt)(Bytes);
};
inline constexpr std::array<Reader, 7> readers{{{"stl", stl},
                                                {"ply", ply},
                                                {"obj", obj},
                                                {"points", points},
                                                {"box_file", box_file},
                                                {"step", step},
                                                {"table", table}}};

// Ends the program unless every index is in range and every coordinate is a place.
void expect_sound(const SurfaceFile& file);

}  // namespace boxfettle::fuzz
