// Which checkpoint to look at next: the one that tells most about the faults per minute of looking.
#pragma once

#include <string>

#include "shop/diagnosis.hpp"

namespace boxfettle {

struct NextCheck {
  std::size_t finding = 0;
  double minutes = 0;
  double fails_probability = 0;
  double information_bits =
      0;  // expected drop of entropy, summed over the faults that can have brought what was seen
  std::size_t fault = 0;  // the fault that a failure would raise most
  double fault_now = 0, fault_if_failed = 0;

  double bits_per_minute() const { return information_bits / minutes; }
};

// Every checkpoint not yet looked at, most bits per minute first. Empty when there is no diagnosis.
std::vector<NextCheck> next_checks(const FaultNetwork& network, const FoundSoFar& found);

// "Look at the vents next: 4 minutes; if this check fails, 'Vents plugged' goes from 41 % to 83 %."
std::string sentence(const FaultNetwork& network, const NextCheck& check);

}  // namespace boxfettle
