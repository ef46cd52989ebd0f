// What is left of the first air when gassing ends: neither passed by nor squeezed out.
#pragma once

#include "venting/residence.hpp"

namespace boxfettle {

// When a place with no way through is put under pressure p1, its first air shrinks by p0 / p1: gas takes the
// rest.
double swept_share_of_dead_end(double before_pa, double after_pa);

// Of the pore space, that still holds its first air after so many seconds; `before_pa` was there at first.
double unpurged_fraction(const GasFlow& flow, const Residence& ages, double seconds, double before_pa);

}  // namespace boxfettle
