// Who may do what is asked by role; who did it is written by name.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace boxfettle {

enum class Role { operator_, supervisor, fitter, quality, tooling };

std::string_view name(Role role);  // "operator", "supervisor", "fitter", "quality", "tooling"
std::optional<Role> role_named(std::string_view text);  // empty when the name is none of the five

struct Person {
  std::string name;
  Role role = Role::operator_;

  bool operator==(const Person&) const = default;
};

}  // namespace boxfettle
