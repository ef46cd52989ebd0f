// The colours of deviation on paper: blue inside (less sand), neutral grey within the limit, orange to brown
// outside (more sand).
//
// The page's web/src/reading/deviation_colours.ts is the one source of these numbers and says why they are
// so; a test reads them out of it and holds this copy against them.
#pragma once

#include <array>

namespace boxfettle {

using Rgb = std::array<double, 3>;  // 0..1, sRGB

struct ColourScale {
  double limit_mm;  // grey up to here, either way
  double range_mm;  // deepest colour from here on, either way
};

// A round number at or above what has to be shown, and at least three limits, so that the grey stays a band.
ColourScale colour_scale(double limit_mm, double largest_mm);

Rgb colour_of(double deviation_mm, const ColourScale& scale);

}  // namespace boxfettle
