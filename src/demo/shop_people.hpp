// Who works in the invented shop. First names only, and nobody real.
#pragma once

#include <array>
#include <string>

#include "shop/role.hpp"

namespace boxfettle::demo {

struct ShopPeople {
  std::array<Person, 4> operators{{{"Asha", Role::operator_},
                                   {"Bram", Role::operator_},
                                   {"Ines", Role::operator_},
                                   {"Kofi", Role::operator_}}};
  Person supervisor{"Mirela", Role::supervisor};
  Person fitter{"Yusuf", Role::fitter};
  Person quality{"Leonor", Role::quality};
  Person tooling{"Greta", Role::tooling};
};

}  // namespace boxfettle::demo
