#include "paper/scan_reading_json.hpp"

#include <cmath>

#include "paper/half_json.hpp"
#include "paper/json_object.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;
using boxfettle::put;

template <int N>
void put(Json& object, const char* key, const Eigen::Matrix<double, N, 1>& numbers) {
  if (numbers.allFinite()) object[key] = std::vector<double>(numbers.begin(), numbers.end());
}

Json pose_json(const RigidPose& pose) {
  const Eigen::Matrix<double, 9, 1> row_major = pose.rotation.transpose().reshaped();
  Json object;
  put(object, "rotation", row_major);
  put(object, "translation_mm", pose.translation_mm);
  return object;
}

Json deviation_json(const ScanReading& reading) {
  Json object = Json::object();
  const Deviation& deviation = reading.deviation;
  put(object, "coverage_fraction", deviation.coverage_fraction);
  if (!reading.measured) return object;
  put(object, "mean_mm", deviation.mean_mm);
  put(object, "sd_mm", deviation.sd_mm);
  put(object, "p05_mm", deviation.p05_mm);
  put(object, "p50_mm", deviation.p50_mm);
  put(object, "p95_mm", deviation.p95_mm);
  put(object, "within_limit_fraction", deviation.within_limit_fraction);
  put(object, "outlier_fraction", deviation.outlier_fraction);
  return object;
}

Json halves_json(const HalvesReading& halves) {
  Json object{{"told", halves.told}};
  if (!halves.told) {
    object["why_not"] = halves.why_not;
    return object;
  }
  put(object, "mismatch_mm", halves.mismatch_mm);
  put(object, "mismatch_worst_mm", halves.mismatch_worst_mm);
  put(object, "rotation_deg", halves.rotation_deg);
  put(object, "gap_mm", halves.gap_mm);
  put(object, "gap_worst_mm", halves.gap_worst_mm);
  put(object, "tilt_deg", halves.tilt_deg);
  Json u95 = Json::object();
  put(u95, "mismatch_mm", halves.mismatch_u95_mm);
  put(u95, "gap_mm", halves.gap_u95_mm);
  put(u95, "rotation_deg", halves.rotation_u95_deg);
  put(u95, "tilt_deg", halves.tilt_u95_deg);
  object["u95"] = std::move(u95);
  put(object, "centroid_mm", halves.centroid_mm);
  return object;
}

Json finding_json(const Finding& finding) {
  Json object{{"kind", name(finding.kind)}, {"severity", name(finding.severity)}};
  put(object, "where_mm", finding.where_mm);
  put(object, "area_mm2", finding.area_mm2);
  put(object, "depth_mm", finding.depth_mm);
  put(object, "volume_mm3", finding.volume_mm3);
  put(object, "u95_mm", finding.u95_mm);
  put(object, "limit_mm", finding.limit_mm);
  object["text"] = finding.text;
  return object;
}

}  // namespace

nlohmann::ordered_json scan_reading_json(const ScanReading& reading, const std::vector<InputFile>& inputs) {
  Json object = json_object(inputs);
  object["of"] = name(reading.of);
  object["verdict"] = name(reading.verdict);
  object["measured"] = reading.measured;
  object["scan_unit"] = name(reading.scan_unit);
  object["pose"] = pose_json(reading.design_from_scan);
  object["pose"]["ambiguous"] = reading.pose_ambiguous;
  object["pose"]["alternatives"] = Json::array();
  for (const RigidPose& other : reading.alternatives)
    object["pose"]["alternatives"].push_back(pose_json(other));
  if (reading.measured) put(object, "scan_noise_mm", reading.noise_mm);
  object["deviation"] = deviation_json(reading);
  if (reading.halves) object["halves"] = halves_json(*reading.halves);
  if (reading.of != ScanSubject::core) add_half_json(object, reading);
  object["findings"] = Json::array();
  for (const Finding& finding : reading.findings) object["findings"].push_back(finding_json(finding));
  object["notes"] = reading.notes;
  return object;
}

}  // namespace boxfettle
