#include "geometry/surface_file.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdio>
#include <utility>

#include "geometry/obj_file.hpp"
#include "geometry/ply_file.hpp"
#include "geometry/stl_file.hpp"
#include "geometry/text_lines.hpp"
#include "geometry/text_points.hpp"
#include "input/file_bytes.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using Reader = SurfaceFile (*)(const FileBytes&);

// What is read word by word lies in memory whole.
template <SurfaceFile (*read)(std::span<const std::byte>, const std::string&)>
SurfaceFile in_memory(const FileBytes& file) {
  FileBytes::Room room;
  return read(file.whole(room), file.name());
}

std::span<const std::byte> start_of(const FileBytes& file, FileBytes::Room& room) {
  return file.stretch(0, std::min<std::size_t>(file.size(), 4096), room);
}

std::string ending(const std::string& file) {
  std::string text = std::filesystem::path(file).extension().string();
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

bool is_text(std::string_view start) {
  return std::none_of(start.begin(), start.end(), [](char c) {
    const auto u = static_cast<unsigned char>(c);
    return (u < 0x20 && c != '\n' && !is_blank(c)) || u == 0x7f;
  });
}

bool starts_with_word(std::string_view text, std::string_view word) {
  const std::size_t start = text.find_first_not_of(" \t\r\n");
  if (start == std::string_view::npos || text.size() - start < word.size()) return false;
  return std::equal(word.begin(), word.end(), text.begin() + static_cast<std::ptrdiff_t>(start),
                    [](char a, char b) { return a == std::tolower(static_cast<unsigned char>(b)); });
}

// The first line that is neither empty nor a comment begins like OBJ's do.
bool looks_like_obj(std::string_view start) {
  TextLines lines(start);
  while (lines.next()) {
    std::string_view rest = lines.line();
    if (rest.empty() || rest.front() == '#') continue;
    const std::string_view word = take_word(rest);
    return word == "v" || word == "vn" || word == "vt" || word == "o" || word == "g" || word == "mtllib";
  }
  return false;
}

Reader reader_for(const FileBytes& bytes) {
  FileBytes::Room room;
  const std::span<const std::byte> first = start_of(bytes, room);
  const std::string_view start = without_byte_order_mark(as_text(first));
  if (start.starts_with("ply\n") || start.starts_with("ply\r")) return read_ply;
  if (is_binary_stl(bytes)) return read_binary_stl;
  const std::string &file = bytes.name(), name = ending(file);
  if (!is_text(start)) {
    if (name == ".stl") return read_binary_stl;  // which says how its count and size disagree
    throw InputError(file, "byte 0", "neither STL, PLY, OBJ nor text points",
                     "export the surface as binary STL or the scan as PLY");
  }
  if (is_step(first))
    throw InputError(file, "line 1", "STEP holds curved faces, not triangles", "export it as STL in mm");
  if (starts_with_word(start, "solid")) return in_memory<read_ascii_stl>;
  if (name == ".obj" || looks_like_obj(start)) return in_memory<read_obj>;
  if (name == ".stl")
    throw InputError(file, "line 1", "the file is text but does not begin with 'solid' as STL does",
                     "export it again, or name points .xyz");
  if (name == ".ply")
    throw InputError(file, "line 1", "the file does not begin with 'ply'",
                     "export it again, or name points .xyz");
  return in_memory<read_text_points>;
}

std::string in_mm(double length_mm) {
  std::array<char, 32> text;
  std::snprintf(text.data(), text.size(), "%.3g mm", length_mm);
  return text.data();
}

std::vector<std::string> step_notes(const StepMesh& step, const StepReading& asked) {
  std::vector<std::string> notes{
      "STEP was meshed to within " + in_mm(step.deflection_mm) + " (" +
      std::to_string(step.mesh.triangles.size()) + " triangles); " +
      (step.unit.empty() ? "it names no unit, mm was assumed." : "its unit is its own (" + step.unit + ").")};
  if (step.coarsened)
    notes.push_back("That is coarser than the " + in_mm(asked.deflection_mm) +
                    " asked for, which would need more than " + std::to_string(asked.most_triangles) +
                    " triangles or too much memory.");
  if (step.bodies > 1)
    notes.push_back("Body " + std::to_string(asked.body.value_or(1)) + " of " + std::to_string(step.bodies) +
                    " was taken.");
  if (step.loose_faces > 0)
    notes.push_back(std::to_string(step.loose_faces) + " surfaces that belong to no body were left out.");
  return notes;
}

SurfaceFile step_surface(const std::filesystem::path& path, const StepReading& asked) {
  StepMesh step = read_step_file(path, asked);
  SurfaceFile file{
      .kind = "STEP", .surface = {}, .flaws = {}, .unit = LengthUnit::mm, .notes = step_notes(step, asked)};
  file.surface = std::move(step.mesh);
  return file;
}

}  // namespace

SurfaceFile read_surface_bytes(std::span<const std::byte> bytes, const std::string& file) {
  if (bytes.empty()) throw InputError(file, "", "the file is empty", "export or copy it again");
  const FileBytes in_memory(bytes, file);
  return reader_for(in_memory)(in_memory);
}

SurfaceFile read_surface_file(const std::filesystem::path& path, const StepReading& step) {
  const FileBytes file(path);
  FileBytes::Room room;
  if (is_step(start_of(file, room))) return step_surface(path, step);
  return reader_for(file)(file);
}

TriangleMesh read_mesh_file(const std::filesystem::path& path) {
  SurfaceFile file = read_surface_file(path);
  if (auto* const mesh = std::get_if<TriangleMesh>(&file.surface)) return std::move(*mesh);
  throw InputError(path.string(), "",
                   "holds points (" + file.kind + ") where a surface of triangles is needed",
                   "export the design as STL");
}

}  // namespace boxfettle
