// What the logbook tells of a calculation made from what was measured on a box.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

struct Computed {
  static constexpr std::string_view kind = "computed";
  enum class Verdict { fit, watch, hold };
  struct Figure {
    std::string name;  // "worst mismatch"
    double value = 0;
    std::string unit;
    bool operator==(const Figure&) const = default;
  };
  std::string what;  // "dowels", "parting gap", "gassing": the last one told of each counts
  Verdict verdict = Verdict::fit;
  std::string text;  // one sentence for the floor
  std::vector<Figure> figures;
  std::int64_t from_entry = 0;  // the inspection it rests on; 0: none
  bool operator==(const Computed&) const = default;
};

}  // namespace boxfettle
