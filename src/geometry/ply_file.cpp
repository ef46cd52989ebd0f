#include "geometry/ply_file.hpp"

#include <cmath>
#include <limits>
#include <utility>

#include "geometry/coordinate_check.hpp"
#include "geometry/mesh_cleaning.hpp"
#include "geometry/ply_body.hpp"
#include "geometry/point_collector.hpp"
#include "input/replace_file.hpp"

namespace boxfettle {
namespace {

constexpr std::array<std::string_view, 6> vertex_slots{"x", "y", "z", "nx", "ny", "nz"};
constexpr std::size_t not_used = vertex_slots.size();

// For each property of a vertex, which of `vertex_slots` it fills.
std::vector<std::size_t> slots_of(const PlyElement& vertex, const std::string& file) {
  std::vector<std::size_t> slots;
  std::array<bool, vertex_slots.size()> filled{};
  for (const PlyProperty& property : vertex.properties) {
    const auto found = std::find(vertex_slots.begin(), vertex_slots.end(), property.name);
    const auto slot = static_cast<std::size_t>(found - vertex_slots.begin());
    const bool useful = slot != not_used && !property.list_count && !filled[slot];
    if (useful) filled[slot] = true;
    slots.push_back(useful ? slot : not_used);
  }
  if (!filled[0] || !filled[1] || !filled[2])
    throw InputError(file, "header", "a vertex has no x, y and z", "export the file again");
  return slots;
}

bool has_normals(const std::vector<std::size_t>& slots) {
  return std::count_if(slots.begin(), slots.end(), [](std::size_t s) { return s >= 3 && s != not_used; }) ==
         3;
}

bool is_index_list(const PlyProperty& property) {
  return property.list_count && (property.name == "vertex_indices" || property.name == "vertex_index");
}

template <typename Body>
class PlyReader {
 public:
  PlyReader(const PlyHeader& header, Body body, const std::string& file)
      : header_(header), body_(std::move(body)), file_(file) {
    const PlyElement* const face = header.element("face");
    as_mesh_ = face != nullptr && face->count > 0;
  }

  SurfaceFile read() {
    for (const PlyElement& element : header_.elements) {
      if (element.name == "vertex")
        vertices(element);
      else if (element.name == "face" && as_mesh_)
        faces(element);
      else
        pass_over(element);
    }
    body_.expect_end();
    const std::string kind = header_.format == PlyFormat::ascii ? "ASCII PLY" : "binary PLY";
    if (!as_mesh_) return {kind, points_.take(), {}};
    const MeshFlaws flaws = drop_flawed_triangles(mesh_);
    drop_unused_vertices(mesh_);
    if (mesh_.triangles.empty())
      throw InputError(file_, "", "holds no triangle with any area", "export the surface again");
    return {kind, std::move(mesh_), flaws};
  }

 private:
  std::size_t list_length(const PlyProperty& list) {
    const double length = body_.next(*list.list_count);
    if (!(length >= 0) || length != std::floor(length) || !body_.has_room_for(length, list.type))
      throw InputError(file_, body_.place(), "a list says a length that the file cannot hold",
                       "export the file again");
    return static_cast<std::size_t>(length);
  }

  void pass_over(const PlyProperty& property) {
    const std::size_t values = property.list_count ? list_length(property) : 1;
    for (std::size_t i = 0; i < values; ++i) body_.next(property.type);
  }

  void pass_over(const PlyElement& element) {
    for (std::uint64_t i = 0; i < element.count; ++i)
      for (const PlyProperty& property : element.properties) pass_over(property);
  }

  // Points whose every row is as long as the next, as scanners write them, are read side by side. Tells
  // whether they were.
  bool rows_of_points(const PlyElement& vertex, const std::vector<std::size_t>& slots, bool with_normals) {
    std::array<std::size_t, vertex_slots.size() + 1> offset{};
    std::array<PlyType, vertex_slots.size() + 1> type{};
    std::size_t row = 0;
    for (std::size_t p = 0; p < slots.size(); ++p) {
      const PlyProperty& property = vertex.properties[p];
      if (property.list_count) return false;
      offset[slots[p]] = row;
      type[slots[p]] = property.type;
      row += size_of(property.type);
    }
    const std::optional<std::size_t> first_row = body_.pass_rows(vertex.count, row);
    if (!first_row) return false;
    const auto row_at = [&](std::uint64_t i) { return *first_row + i * row; };
    const auto three_at = [&](const char* at, std::size_t slot) {
      const auto number = [&](std::size_t s) { return Body::number_at(at + offset[s], type[s]); };
      return Eigen::Vector3d(number(slot), number(slot + 1), number(slot + 2));
    };
    const auto add_rows = [&](const auto& place_at) {
      return points_.add_many(vertex.count, with_normals,
                              [&](std::uint64_t first, std::uint64_t count, auto add) {
                                FileBytes::Room room;
                                const char* const rows = body_.rows_at(row_at(first), count * row, room);
                                for (std::uint64_t i = 0; i < count; ++i) {
                                  const char* const at = rows + i * row;
                                  add(first + i, place_at(at), [&] { return three_at(at, 3); });
                                }
                              });
    };
    const auto typed = [&]<typename Value>(Value) {
      return add_rows([&](const char* at) {
        const auto number = [&](std::size_t s) { return double{Body::template load<Value>(at + offset[s])}; };
        return Eigen::Vector3d(number(0), number(1), number(2));
      });
    };
    // The usual types without a choice for every number: that would take as long as all the rest.
    const auto all_are = [&](PlyType t) { return std::count(type.begin(), type.begin() + 3, t) == 3; };
    const std::optional<std::size_t> nowhere =
        all_are(PlyType::float64)   ? typed(double{})
        : all_are(PlyType::float32) ? typed(float{})
                                    : add_rows([&](const char* at) { return three_at(at, 0); });
    if (nowhere) {
      FileBytes::Room room;
      refuse_place(
          three_at(body_.rows_at(row_at(*nowhere), row, room), 0), file_,
          "vertex " + std::to_string(*nowhere + 1) + ", byte " + std::to_string(row_at(*nowhere + 1)));
    }
    return true;
  }

  void vertices(const PlyElement& vertex) {
    const std::vector<std::size_t> slots = slots_of(vertex, file_);
    const bool with_normals = !as_mesh_ && has_normals(slots);
    if (as_mesh_)
      mesh_.vertices.reserve(vertex.count);
    else
      points_.reserve(vertex.count, with_normals);
    if constexpr (requires(FileBytes::Room room) { body_.rows_at(0, 0, room); })
      if (!as_mesh_ && rows_of_points(vertex, slots, with_normals)) return;
    std::array<double, vertex_slots.size() + 1> values{};
    for (std::uint64_t i = 0; i < vertex.count; ++i) {
      for (std::size_t p = 0; p < slots.size(); ++p) {
        const PlyProperty& property = vertex.properties[p];
        if (property.list_count)
          pass_over(property);
        else
          values[slots[p]] = body_.next(property.type);
      }
      const Eigen::Vector3d point(values[0], values[1], values[2]);
      if (!is_place(point))
        refuse_place(point, file_, "vertex " + std::to_string(i + 1) + ", " + body_.place());
      if (as_mesh_)
        mesh_.vertices.push_back(point);
      else
        points_.add(point);
      if (with_normals) points_.add_normal({values[3], values[4], values[5]});
    }
  }

  void faces(const PlyElement& face) {
    const auto list = std::find_if(face.properties.begin(), face.properties.end(), is_index_list);
    if (list == face.properties.end())
      throw InputError(file_, "header", "a face has no list vertex_indices", "export the surface again");
    const auto list_at = static_cast<std::size_t>(list - face.properties.begin());
    mesh_.triangles.reserve(face.count);
    for (std::uint64_t i = 0; i < face.count; ++i)
      for (std::size_t p = 0; p < face.properties.size(); ++p)
        if (p == list_at)
          fan(*list);
        else
          pass_over(face.properties[p]);
  }

  std::uint32_t corner(PlyType type) {
    const double index = body_.next(type);
    if (!(index >= 0 && index < static_cast<double>(vertex_count_)) || index != std::floor(index))
      throw InputError(file_, body_.place(),
                       "a face asks for a vertex that is not one of the " + std::to_string(vertex_count_),
                       "export the surface again");
    return static_cast<std::uint32_t>(index);
  }

  void fan(const PlyProperty& list) {
    const std::size_t corners = list_length(list);
    if (corners < 3)
      throw InputError(file_, body_.place(), "a face with fewer than three corners",
                       "export the surface again");
    const std::uint32_t first = corner(list.type);
    std::uint32_t latest = corner(list.type);
    for (std::size_t c = 2; c < corners; ++c) {
      const std::uint32_t next = corner(list.type);
      mesh_.triangles.push_back({first, latest, next});
      latest = next;
    }
  }

  const PlyHeader& header_;
  Body body_;
  const std::string& file_;
  std::uint64_t vertex_count_ = header_.element("vertex")->count;
  bool as_mesh_ = false;
  TriangleMesh mesh_;
  PointCollector points_;
};

void check_elements(const PlyHeader& header, const std::string& file) {
  const PlyElement* const vertex = header.element("vertex");
  if (vertex == nullptr || vertex->count == 0)
    throw InputError(file, "header", "holds no vertex", "export the file again");
  if (vertex->count > std::numeric_limits<std::uint32_t>::max())
    throw InputError(file, "header", "more than 4 billion vertices", "export with fewer");
  if (header.element("tristrips") != nullptr)
    throw InputError(file, "header", "holds triangle strips", "export the surface as triangles");
}

}  // namespace

SurfaceFile read_ply(const FileBytes& file) {
  FileBytes::Room room;
  const PlyHeader header = read_ply_header(
      as_text(file.stretch(0, std::min(file.size(), longest_ply_header), room)), file.size(), file.name());
  check_elements(header, file.name());
  switch (header.format) {
    case PlyFormat::ascii: {
      const std::string_view body = as_text(file.whole(room)).substr(header.body_offset);
      return PlyReader(header, PlyWords(body, header.body_line, file.name()), file.name()).read();
    }
    case PlyFormat::little_endian:
      return PlyReader(header, PlyBytes<std::endian::little>(file, header.body_offset), file.name()).read();
    case PlyFormat::big_endian:
      break;
  }
  return PlyReader(header, PlyBytes<std::endian::big>(file, header.body_offset), file.name()).read();
}

void write_binary_ply(const PointCloud& points, const std::filesystem::path& path) {
  static_assert(std::endian::native == std::endian::little, "written as the machine holds them");
  const bool with_normals = !points.normals.empty();
  std::string header =
      "ply\nformat binary_little_endian 1.0\nelement vertex " + std::to_string(points.size()) + "\n";
  // Doubles, because a point is an origin and an offset: in floats it would lose what the two keep apart.
  for (int i = 0; i < 3; ++i)
    header += "property double " + std::string(vertex_slots[static_cast<std::size_t>(i)]) + "\n";
  if (with_normals)
    for (std::size_t i = 3; i < 6; ++i) header += "property float " + std::string(vertex_slots[i]) + "\n";
  header += "end_header\n";
  const std::size_t record = 3 * sizeof(double) + (with_normals ? 3 * sizeof(float) : 0);
  std::vector<std::byte> bytes(header.size() + points.size() * record);
  std::memcpy(bytes.data(), header.data(), header.size());
  std::byte* to = bytes.data() + header.size();
  for (std::size_t i = 0; i < points.size(); ++i, to += record) {
    const Eigen::Vector3d point = points.point_mm(i);
    std::memcpy(to, point.data(), 3 * sizeof(double));
    if (with_normals) std::memcpy(to + 3 * sizeof(double), points.normals[i].data(), 3 * sizeof(float));
  }
  replace_file(path, bytes);
}

}  // namespace boxfettle
