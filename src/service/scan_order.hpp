// What the sender of a scan said of it, as a queued job keeps it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "geometry/length_unit.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {

struct ScanOrder {
  std::optional<LengthUnit> unit;  // of the file's numbers; absent: found from the sizes
  ScanSubject of = ScanSubject::core;
  std::optional<std::uint32_t> design_body;  // of a STEP design that holds several, from 1
  bool operator==(const ScanOrder&) const = default;
};

// "auto", "mm", "mm half-lower", "mm core 2": the unit, what was scanned, the design's body; from the end,
// what is usual is left out.
std::string written(const ScanOrder& order);

// Empty when the text is none of these.
std::optional<ScanOrder> scan_order(std::string_view text);

}  // namespace boxfettle
