#include "geometry/obj_file.hpp"

#include <array>
#include <limits>

#include "geometry/coordinate_check.hpp"
#include "geometry/mesh_cleaning.hpp"
#include "geometry/number_text.hpp"
#include "geometry/point_collector.hpp"
#include "geometry/text_lines.hpp"

namespace boxfettle {
namespace {

// Lines that say nothing about the surface itself.
constexpr std::array<std::string_view, 15> passed_over{"vt",     "vp",  "g",      "o",          "s",
                                                       "mg",     "l",   "p",      "mtllib",     "usemtl",
                                                       "maplib", "lod", "usemap", "shadow_obj", "trace_obj"};

class ObjLines {
 public:
  ObjLines(std::string_view text, const std::string& file) : lines_(text), file_(file) {}

  SurfaceFile read() {
    while (lines_.next()) {
      std::string_view rest = lines_.line();
      if (rest.empty() || rest.front() == '#') continue;
      const std::string_view keyword = take_word(rest);
      if (keyword == "v")
        mesh_.vertices.push_back(place(rest));
      else if (keyword == "vn")
        normals_.push_back(three_numbers(rest));
      else if (keyword == "f" || keyword == "fo")
        face(rest);
      else if (std::find(passed_over.begin(), passed_over.end(), keyword) == passed_over.end())
        throw InputError(file_, lines_.place(),
                         "the line begins with " + quoted(keyword) + ", which OBJ does not know",
                         "export the surface again as OBJ");
    }
    if (mesh_.vertices.empty()) throw InputError(file_, "", "holds no vertex", "export the surface again");
    return faces_ > 0 ? as_mesh() : as_points();
  }

 private:
  Eigen::Vector3d three_numbers(std::string_view rest) const {
    Eigen::Vector3d numbers;
    for (double& number : numbers) {
      const std::string_view word = take_word(rest);
      const auto value = number_in(word);
      if (!value)
        throw InputError(file_, lines_.place(),
                         word.empty() ? "three numbers are due" : quoted(word) + " is not a number",
                         "export the surface again or mend the line");
      number = *value;
    }
    return numbers;
  }

  Eigen::Vector3d place(std::string_view rest) const {
    if (mesh_.vertices.size() == std::numeric_limits<std::uint32_t>::max())
      throw InputError(file_, lines_.place(), "more than 4 billion vertices", "export with fewer");
    const Eigen::Vector3d point = three_numbers(rest);
    if (!is_place(point)) refuse_place(point, file_, lines_.place());
    return point;
  }

  // "7", "7/3", "7//2", "7/3/2", and counted from the latest vertex backwards when negative.
  std::uint32_t vertex(std::string_view word) const {
    const auto index = whole_number_in(word.substr(0, word.find('/')));
    if (!index || word.find_first_not_of("0123456789-/") != std::string_view::npos)
      throw InputError(file_, lines_.place(), quoted(word) + " is not a vertex of a face",
                       "export the surface again or mend the line");
    const auto count = static_cast<std::int64_t>(mesh_.vertices.size());
    if (*index == 0 || *index > count || *index < -count)
      throw InputError(file_, lines_.place(),
                       "the face asks for vertex " + std::to_string(*index) + " but " +
                           std::to_string(count) + " stand above it",
                       "export the surface again; vertices come before their faces and count from 1");
    return static_cast<std::uint32_t>(*index > 0 ? *index - 1 : count + *index);
  }

  void face(std::string_view rest) {
    std::array<std::uint32_t, 2> hinge{};  // the fan's first corner and its latest
    std::size_t corners = 0;
    for (std::string_view word = take_word(rest); !word.empty(); word = take_word(rest), ++corners) {
      const std::uint32_t corner = vertex(word);
      if (corners >= 2) mesh_.triangles.push_back({hinge[0], hinge[1], corner});
      hinge[corners == 0 ? 0 : 1] = corner;
    }
    if (corners < 3)
      throw InputError(file_, lines_.place(), "a face with fewer than three corners",
                       "export the surface again");
    ++faces_;
  }

  SurfaceFile as_mesh() {
    const MeshFlaws flaws = drop_flawed_triangles(mesh_);
    drop_unused_vertices(mesh_);
    if (mesh_.triangles.empty())
      throw InputError(file_, "", "holds no triangle with any area", "export the surface again");
    return {"OBJ", std::move(mesh_), flaws};
  }

  SurfaceFile as_points() const {
    const bool with_normals = normals_.size() == mesh_.vertices.size();
    PointCollector points;
    points.reserve(mesh_.vertices.size(), with_normals);
    for (std::size_t i = 0; i < mesh_.vertices.size(); ++i) {
      points.add(mesh_.vertices[i]);
      if (with_normals) points.add_normal(normals_[i]);
    }
    return {"OBJ", points.take(), {}};
  }

  TextLines lines_;
  const std::string& file_;
  TriangleMesh mesh_;
  std::vector<Eigen::Vector3d> normals_;
  std::size_t faces_ = 0;
};

}  // namespace

SurfaceFile read_obj(std::span<const std::byte> bytes, const std::string& file) {
  return ObjLines({reinterpret_cast<const char*>(bytes.data()), bytes.size()}, file).read();
}

}  // namespace boxfettle
