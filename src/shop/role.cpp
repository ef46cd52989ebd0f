#include "shop/role.hpp"

#include <array>

namespace boxfettle {
namespace {

constexpr std::array<std::string_view, 5> role_names{"operator", "supervisor", "fitter", "quality",
                                                     "tooling"};

}  // namespace

std::string_view name(Role role) {
  return role_names[static_cast<std::size_t>(role)];
}

std::optional<Role> role_named(std::string_view text) {
  for (std::size_t i = 0; i < role_names.size(); ++i)
    if (role_names[i] == text) return static_cast<Role>(i);
  return std::nullopt;
}

}  // namespace boxfettle
