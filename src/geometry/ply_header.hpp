// The head of a PLY file: what its body holds, in which order, as which types.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

enum class PlyFormat { ascii, little_endian, big_endian };
enum class PlyType { int8, uint8, int16, uint16, int32, uint32, float32, float64 };

std::size_t size_of(PlyType type);

struct PlyProperty {
  std::string name;
  PlyType type;
  std::optional<PlyType> list_count;  // present for a list: the type of its length
};

struct PlyElement {
  std::string name;
  std::uint64_t count = 0;
  std::vector<PlyProperty> properties;
};

struct PlyHeader {
  PlyFormat format = PlyFormat::ascii;
  std::vector<PlyElement> elements;
  std::size_t body_offset = 0;  // bytes before the body
  std::size_t body_line = 1;    // number of the body's first line, when it is text

  const PlyElement* element(std::string_view name) const;
};

// Longer than any true header.
constexpr std::size_t longest_ply_header = std::size_t{1} << 20;

// `start` is the file's first bytes, up to longest_ply_header, `size` how many it has in all. Throws
// InputError: a line that PLY does not know, an unknown type, no end_header, an element whose count needs
// more bytes than follow the header.
PlyHeader read_ply_header(std::string_view start, std::size_t size, const std::string& file);

}  // namespace boxfettle
