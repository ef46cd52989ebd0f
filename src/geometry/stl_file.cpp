#include "geometry/stl_file.hpp"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstring>
#include <limits>

#include "geometry/coordinate_check.hpp"
#include "geometry/corner_welding.hpp"
#include "geometry/mesh_cleaning.hpp"
#include "geometry/number_text.hpp"
#include "geometry/text_lines.hpp"
#include "input/replace_file.hpp"

namespace boxfettle {
namespace {

static_assert(std::endian::native == std::endian::little,
              "binary STL is little endian and read as it stands");

constexpr std::size_t header_size = 80;
constexpr std::size_t first_triangle = header_size + sizeof(std::uint32_t);
constexpr std::size_t triangle_size = 50;  // normal, three corners, two bytes nobody agrees on
constexpr std::size_t corners_offset = 12;

std::size_t told_count(const FileBytes& file) {
  FileBytes::Room room;
  std::uint32_t count = 0;
  std::memcpy(&count, file.stretch(header_size, sizeof count, room).data(), sizeof count);
  return count;
}

// The count, once it is found to be what the size says.
std::size_t checked_count(const FileBytes& file) {
  if (file.size() < first_triangle)
    throw InputError(file.name(), "byte " + std::to_string(file.size()), "the file ends within its header",
                     "copy or export it again");
  const std::size_t count = told_count(file);
  const std::size_t whole = (file.size() - first_triangle) / triangle_size;
  if (count > whole)
    throw InputError(file.name(), "byte 80",
                     "the header counts " + std::to_string(count) + " triangles but the file has room for " +
                         std::to_string(whole),
                     "it was cut short or is not binary STL; copy or export it again");
  if (count < whole)
    throw InputError(file.name(), "byte 80",
                     "the header counts " + std::to_string(count) + " triangles but the file holds " +
                         std::to_string(whole),
                     "export it again; part of the surface would be missing");
  if (count > std::numeric_limits<std::uint32_t>::max() / 3)
    throw InputError(file.name(), "byte 80", "more than 1.4 billion triangles",
                     "export with fewer triangles");
  return count;
}

using Corner = CornerWelder<float>::Place;

bool is_place(const Corner& corner) {
  return is_coordinate(corner[0]) && is_coordinate(corner[1]) && is_coordinate(corner[2]);
}

// All nine looked at, since hardly any is bad: without a branch after each, they are looked at together.
bool are_places(const std::array<Corner, 3>& corners) {
  constexpr auto largest = static_cast<float>(largest_coordinate);
  bool all = true;
  for (const Corner& corner : corners)
    for (const float value : corner) all &= std::abs(value) <= largest;  // false for NaN
  return all;
}

std::array<Corner, 3> corners_at(const std::byte* triangle) {
  std::array<Corner, 3> corners;
  std::memcpy(&corners, triangle + corners_offset, sizeof corners);
  return corners;
}

// Triangles first .. first + count as the file has them.
const std::byte* triangles_of(const FileBytes& file, std::size_t first, std::size_t count,
                              FileBytes::Room& room) {
  return file.stretch(first_triangle + first * triangle_size, count * triangle_size, room).data();
}

void refuse_triangle(const std::array<Corner, 3>& corners, std::size_t triangle, const std::string& file) {
  const std::string place = "triangle " + std::to_string(triangle + 1) + " at byte " +
                            std::to_string(first_triangle + triangle * triangle_size);
  for (const Corner& corner : corners)
    if (!is_place(corner)) refuse_place({corner[0], corner[1], corner[2]}, file, place);
}

// A stretch of the file's triangles, welded by itself: corners numbered within it.
struct Stretch {
  std::size_t first, end;
  CornerWelder<float> welder;
  std::size_t bad = std::numeric_limits<std::size_t>::max();  // its first triangle that is nowhere
  std::array<Corner, 3> bad_corners{};
};

// A batch of triangles at a time, so that the table is looked up for many corners at once; of the file, so
// many that they fit the nearer caches.
void weld(Stretch& stretch, const FileBytes& file, std::vector<Triangle>& triangles) {
  constexpr std::size_t batch = CornerWelder<float>::batch / 3, read_at_once = 128 * batch;
  std::array<std::array<Corner, 3>, batch> corners;
  FileBytes::Room room;
  for (std::size_t from = stretch.first; from < stretch.end; from += read_at_once) {
    const std::size_t to = std::min(from + read_at_once, stretch.end);
    const std::byte* next = triangles_of(file, from, to - from, room);
    for (std::size_t first = from; first < to; first += batch) {
      const std::size_t size = std::min(batch, to - first);
      for (std::size_t t = 0; t < size; ++t, next += triangle_size) {
        corners[t] = corners_at(next);
        if (are_places(corners[t])) continue;
        stretch.bad = first + t;
        stretch.bad_corners = corners[t];
        return;
      }
      stretch.welder.weld({corners[0].data(), 3 * size}, triangles[first].data());
    }
  }
}

// The later stretch's vertices numbered on from the first's. Each is met in the order in which the file first
// tells it, so the numbers are those of one stretch welded from end to end.
void append(Stretch& first, Stretch& later, std::vector<Triangle>& triangles) {
  const std::vector<Eigen::Vector3d>& vertices = later.welder.vertices();
  std::vector<std::uint32_t> number(vertices.size());
  std::array<Corner, CornerWelder<float>::batch> corners;
  for (std::size_t at = 0; at < vertices.size(); at += corners.size()) {
    const std::size_t size = std::min(corners.size(), vertices.size() - at);
    for (std::size_t i = 0; i < size; ++i)
      Eigen::Map<Eigen::Vector3f>(corners[i].data()) = vertices[at + i].cast<float>();  // as the file has it
    first.welder.weld({corners.data(), size}, &number[at]);
  }
  tbb::parallel_for(tbb::blocked_range<std::size_t>(later.first, later.end, 16384), [&](const auto& range) {
    for (std::size_t t = range.begin(); t < range.end(); ++t)
      for (std::uint32_t& corner : triangles[t]) corner = number[corner];
  });
}

// As many stretches as threads, but none too short to be worth one: what comes out is the same for any
// number.
std::vector<Stretch> stretches(std::size_t count) {
  constexpr std::size_t shortest = 50'000, most = 8;
  const auto threads = static_cast<std::size_t>(tbb::this_task_arena::max_concurrency());
  const std::size_t parts = std::clamp<std::size_t>(std::min(threads, count / shortest), 1, most);
  std::vector<Stretch> all;
  for (std::size_t p = 0; p < parts; ++p) {
    const std::size_t first = count * p / parts, end = count * (p + 1) / parts;
    all.push_back(
        {.first = first, .end = end, .welder = CornerWelder<float>(3 * (p == 0 ? count : end - first))});
  }
  return all;
}

TriangleMesh welded(const FileBytes& file) {
  TriangleMesh mesh;
  mesh.triangles.resize(checked_count(file));
  std::vector<Stretch> parts = stretches(mesh.triangles.size());
  tbb::parallel_for(std::size_t{0}, parts.size(),
                    [&](std::size_t p) { weld(parts[p], file, mesh.triangles); });
  for (const Stretch& part : parts)
    if (part.bad < part.end) refuse_triangle(part.bad_corners, part.bad, file.name());
  for (std::size_t p = 1; p < parts.size(); ++p) append(parts[0], parts[p], mesh.triangles);
  mesh.vertices = parts[0].welder.take_vertices();
  return mesh;
}

SurfaceFile finished(std::string kind, TriangleMesh mesh, const std::string& file) {
  if (mesh.triangles.empty()) throw InputError(file, "", "holds no triangle", "export the surface again");
  const MeshFlaws flaws = drop_flawed_triangles(mesh);
  // Welding makes no vertex but a triangle's own.
  if (flaws.zero_area + flaws.duplicate > 0) drop_unused_vertices(mesh);
  if (mesh.triangles.empty())
    throw InputError(file, "", "holds no triangle with any area", "export the surface again");
  return {std::move(kind), std::move(mesh), flaws};
}

bool same_word(std::string_view word, std::string_view expected) {
  if (word.size() != expected.size()) return false;
  for (std::size_t i = 0; i < word.size(); ++i)
    if (std::tolower(static_cast<unsigned char>(word[i])) != expected[i]) return false;
  return true;
}

class AsciiStl {
 public:
  AsciiStl(std::string_view text, const std::string& file)
      : words_(without_byte_order_mark(text)), file_(file), welder_(text.size() / 64) {}

  TriangleMesh mesh() {
    expect("solid", words_.next());
    words_.skip_line();
    while (true) {
      const std::string_view word = words_.next();
      if (same_word(word, "facet")) {
        facet();
      } else {
        expect("endsolid", word);
        words_.skip_line();
        const std::string_view after = words_.next();  // several solids may follow one another
        if (after.empty()) break;
        expect("solid", after);
        words_.skip_line();
      }
    }
    mesh_.vertices = welder_.take_vertices();
    return std::move(mesh_);
  }

 private:
  void expect(std::string_view expected, std::string_view word) const {
    if (same_word(word, expected)) return;
    if (word.empty())
      throw InputError(file_, words_.place(), "the file ends where '" + std::string(expected) + "' is due",
                       "it was cut short; copy or export it again");
    throw InputError(file_, words_.place(),
                     "found " + quoted(word) + " where '" + std::string(expected) + "' is due",
                     "export the surface again as STL");
  }

  double coordinate() {
    const std::string_view word = words_.next();
    const auto value = number_in(word);
    if (!value) expect("a number", word);
    return *value;
  }

  void facet() {
    expect("normal", words_.next());
    // The normal is not used; exporters write anything there, NaN for a sliver among them.
    for (int i = 0; i < 3; ++i)
      if (same_word(words_.next(), "outer")) expect("a number", "outer");
    expect("outer", words_.next());
    expect("loop", words_.next());
    std::array<CornerWelder<double>::Place, 3> corners;
    for (auto& corner : corners) {
      expect("vertex", words_.next());
      for (double& value : corner) value = coordinate();
      const Eigen::Vector3d point(corner[0], corner[1], corner[2]);
      if (!boxfettle::is_place(point)) refuse_place(point, file_, words_.place());
    }
    expect("endloop", words_.next());
    expect("endfacet", words_.next());
    welder_.weld(corners, mesh_.triangles.emplace_back().data());
  }

  TextWords words_;
  const std::string& file_;
  CornerWelder<double> welder_;
  TriangleMesh mesh_;
};

}  // namespace

bool is_binary_stl(const FileBytes& file) {
  return file.size() >= first_triangle && file.size() == first_triangle + told_count(file) * triangle_size;
}

SurfaceFile read_binary_stl(const FileBytes& file) {
  return finished("binary STL", welded(file), file.name());
}

SurfaceFile read_ascii_stl(std::span<const std::byte> bytes, const std::string& file) {
  const std::string_view text(reinterpret_cast<const char*>(bytes.data()), bytes.size());
  return finished("ASCII STL", AsciiStl(text, file).mesh(), file);
}

void write_binary_stl(const TriangleMesh& mesh, const std::filesystem::path& path) {
  std::vector<std::byte> bytes(first_triangle + mesh.triangles.size() * triangle_size);
  constexpr std::string_view header = "binary STL, lengths in mm";  // must not begin with "solid"
  std::memcpy(bytes.data(), header.data(), header.size());
  const auto count = static_cast<std::uint32_t>(mesh.triangles.size());
  std::memcpy(bytes.data() + header_size, &count, sizeof count);
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    std::array<Eigen::Vector3f, 4> record;
    record[0] = doubled_area_vector(mesh, t).stableNormalized().cast<float>();
    for (int c = 0; c < 3; ++c) record[static_cast<std::size_t>(c) + 1] = mesh.corner(t, c).cast<float>();
    std::memcpy(bytes.data() + first_triangle + t * triangle_size, record.data(), sizeof record);
  }
  replace_file(path, bytes);
}

}  // namespace boxfettle
