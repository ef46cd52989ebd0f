// What the invented shop told about itself: labels of places, sand mixes, fitters' hours, spares, and a care
// rule of its own.
#pragma once

#include "demo/telling.hpp"

namespace boxfettle::demo {

Story shop_story(UtcTime now);

}  // namespace boxfettle::demo
