#include "closing/feeler_opening.hpp"

#include <memory>
#include <vector>

#include "closing/gap_field.hpp"

namespace boxfettle {

FeelerOpening feeler_opening(const CoreBox& box) {
  if (box.gap_readings.empty()) return {{}, "No feeler readings: the parting face was taken as shut."};
  std::vector<FeelerReading> readings;
  for (const GapReading& reading : box.gap_readings)
    readings.push_back({reading.at_parting_mm, reading.clamped_mm});
  const auto field = std::make_shared<GapField>(readings);
  if (field->told()) return {[field](const Eigen::Vector2d& place) { return field->opening_mm(place); }, ""};
  double sum = 0;
  for (const FeelerReading& reading : readings) sum += reading.opening_mm;
  const double mean = sum / static_cast<double>(readings.size());
  return {[mean](const Eigen::Vector2d&) { return mean; },
          "The feeler readings do not tell a plane; their mean was taken all round."};
}

}  // namespace boxfettle
