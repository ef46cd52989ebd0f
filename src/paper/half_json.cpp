#include "paper/half_json.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;

Json pair(const Eigen::Vector2d& numbers) {
  return {numbers.x(), numbers.y()};
}

const char* kind_name(DowelKind kind) {
  return kind == DowelKind::pin ? "pin" : kind == DowelKind::bore ? "bore" : "slot";
}

Json face_json(const PartingFaceReading& face) {
  Json object{{"told", face.told}};
  if (!face.told) {
    object["why_not"] = face.why_not;
    return object;
  }
  object["flatness_ls_mm"] = face.flatness_ls_mm;
  object["flatness_min_zone_mm"] = face.flatness_min_zone_mm;
  object["u95_mm"] = face.flatness_u95_mm;
  object["tilt_deg"] = pair(face.tilt_deg);
  object["offset_mm"] = face.offset_mm;
  object["offset_worst_mm"] = face.offset_worst_mm;
  object["centroid_mm"] = {face.centroid_mm.x(), face.centroid_mm.y(), face.centroid_mm.z()};
  object["u95"] = {{"tilt_deg", face.tilt_u95_deg}, {"offset_mm", face.offset_u95_mm}};
  object["coverage"] = face.coverage_fraction;
  return object;
}

Json dowel_json(const DowelReading& dowel) {
  Json object{{"id", dowel.id}, {"told", dowel.told}};
  if (!dowel.told) {
    object["why_not"] = dowel.why_not;
    return object;
  }
  object["kind"] = kind_name(dowel.kind);
  object["at_mm"] = pair(dowel.at_parting_mm);
  object["diameter_mm"] = dowel.diameter_mm;
  object["nominal_mm"] = dowel.nominal_mm;
  object["offset_mm"] = pair(dowel.offset_mm);
  if (dowel.kind == DowelKind::slot) object["slot_axis"] = pair(dowel.slot_axis);
  object["u95"] = {{"at_mm", dowel.at_u95_mm}, {"diameter_mm", dowel.diameter_u95_mm}};
  return object;
}

}  // namespace

void add_half_json(Json& object, const ScanReading& reading) {
  if (reading.parting_face) object["parting_face"] = face_json(*reading.parting_face);
  object["dowels"] = Json::array();
  for (const DowelReading& dowel : reading.dowels) object["dowels"].push_back(dowel_json(dowel));
}

}  // namespace boxfettle
