// Tells how far a reading has come, and stops it when told to.
#pragma once

#include <string_view>

#include "reading/scan_reading.hpp"

namespace boxfettle {

class Steps {
 public:
  explicit Steps(const ScanSettings& settings) : settings_(settings) {}
  // Throws ReadingCancelled when the settings' progress says stop.
  void reached(double share, std::string_view name) const {
    if (settings_.progress && !settings_.progress(share, name)) throw ReadingCancelled{};
  }

 private:
  const ScanSettings& settings_;
};

}  // namespace boxfettle
