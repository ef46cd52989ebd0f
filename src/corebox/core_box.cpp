#include "corebox/core_box.hpp"

#include <Eigen/Geometry>
#include <array>
#include <cmath>
#include <stdexcept>

namespace boxfettle {
namespace {

constexpr std::array<std::string_view, 5> process_names{"cold-box", "hot-box", "shell", "co2", "no-bake"};
constexpr std::array<std::string_view, 6> material_names{"aluminium", "grey-iron", "steel",
                                                         "brass",     "resin",     "wood"};
constexpr std::array<std::string_view, 2> half_names{"lower", "upper"};

template <typename Kind, std::size_t N>
std::optional<Kind> kind_named(const std::array<std::string_view, N>& names, std::string_view text) {
  for (std::size_t i = 0; i < N; ++i)
    if (names[i] == text) return static_cast<Kind>(i);
  return std::nullopt;
}

// Left alone when it is a unit vector already, so that a face written down and read back is the same to the
// bit.
Eigen::Vector3d unit(const Eigen::Vector3d& direction) {
  return std::abs(direction.squaredNorm() - 1) < 1e-14 ? direction : direction.stableNormalized();
}

}  // namespace

PartingFace PartingFace::through(const Eigen::Vector3d& point_mm, const Eigen::Vector3d& normal) {
  if (!(normal.stableNorm() > 0) || !normal.allFinite())
    throw std::invalid_argument("the parting face's normal has no direction");
  PartingFace face;
  face.point_mm = point_mm;
  face.normal = unit(normal);
  // Within about 8 degrees of the normal the projection of design x is short and its direction mostly
  // rounding.
  const bool x_is_normal = std::abs(face.normal.x()) > 0.99;
  const Eigen::Vector3d along = x_is_normal ? Eigen::Vector3d::UnitY() : Eigen::Vector3d::UnitX();
  face.x_axis = (along - along.dot(face.normal) * face.normal).normalized();
  face.y_axis = face.normal.cross(face.x_axis);
  return face;
}

std::string_view name(Process process) {
  return process_names[static_cast<std::size_t>(process)];
}
std::string_view name(BoxMaterial material) {
  return material_names[static_cast<std::size_t>(material)];
}
std::string_view name(Half half) {
  return half_names[static_cast<std::size_t>(half)];
}

bool cures_by_gas(Process process) {
  return process == Process::cold_box || process == Process::co2;
}

std::optional<Process> process_named(std::string_view text) {
  return kind_named<Process>(process_names, text);
}
std::optional<BoxMaterial> box_material_named(std::string_view text) {
  return kind_named<BoxMaterial>(material_names, text);
}
std::optional<Half> half_named(std::string_view text) {
  return kind_named<Half>(half_names, text);
}

}  // namespace boxfettle
