#include "paper/series_reading.hpp"

#include "paper/json_object.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

using Json = nlohmann::ordered_json;

Json scan_json(const SeriesScan& scan) {
  Json object{{"file", scan.file}, {"date", scan.date}};
  if (scan.shots) object["shots"] = *scan.shots;
  object["verdict"] = name(scan.verdict);
  object["coverage_fraction"] = scan.coverage_fraction;
  return object;
}

Json reading_json(const SeriesScan& scan, const std::optional<PatchReading>& reading) {
  Json object{{"file", scan.file}, {"date", scan.date}};
  if (scan.shots) object["shots"] = *scan.shots;
  object["seen"] = reading.has_value();
  if (!reading) return object;
  object["depth_mm"] = reading->depth_mm;
  object["u95_mm"] = reading->u95_mm;
  object["area_mm2"] = reading->area_mm2;
  return object;
}

Json patch_json(const FollowedPatch& patch, const std::vector<SeriesScan>& scans) {
  Json object{{"id", patch.id},
              {"kind", name(patch.kind)},
              {"where_mm", std::vector<double>(patch.where_mm.begin(), patch.where_mm.end())},
              {"place", patch.place},
              {"readings", Json::array()}};
  for (std::size_t s = 0; s < scans.size(); ++s)
    object["readings"].push_back(reading_json(scans[s], patch.readings[s]));
  return object;
}

std::string shots_text(const std::optional<std::int64_t>& shots) {
  return shots ? std::to_string(*shots) : "-";
}

std::string patch_text(const FollowedPatch& patch, const std::vector<SeriesScan>& scans) {
  std::string text = patch.id + "  " + std::string(name(patch.kind)) + " on " + patch.place +
                     printed(", at x %.1f, y %.1f, z %.1f mm of the design\n", patch.where_mm.x(),
                             patch.where_mm.y(), patch.where_mm.z());
  for (std::size_t s = 0; s < scans.size(); ++s) {
    const auto& reading = patch.readings[s];
    text += printed("    %-10s  %10s  ", scans[s].date.c_str(), shots_text(scans[s].shots).c_str());
    if (!reading) {
      text += "not seen\n";
      continue;
    }
    text += printed("%+7.3f +/- %.3f mm", reading->depth_mm, reading->u95_mm);
    text += reading->area_mm2 > 0 ? printed(" over %.0f mm2\n", reading->area_mm2)
                                  : "  (no finding in this scan)\n";
  }
  return text;
}

}  // namespace

nlohmann::ordered_json series_json(const SeriesReading& series, const std::vector<InputFile>& inputs) {
  Json object = json_object(inputs);
  object["box"] = series.box;
  Json& told = object["series"] = {{"scans", Json::array()}, {"patches", Json::array()}};
  for (const SeriesScan& scan : series.scans) told["scans"].push_back(scan_json(scan));
  for (const FollowedPatch& patch : series.patches)
    told["patches"].push_back(patch_json(patch, series.scans));
  object["notes"] = series.notes;
  return object;
}

std::string series_text(const SeriesReading& series) {
  std::string text = std::to_string(series.scans.size()) +
                     (series.scans.size() == 1 ? " scan of " : " scans of ") + series.box + "\n";
  text += "    date             shots  verdict      seen  file\n";
  for (const SeriesScan& scan : series.scans)
    text += printed("    %-10s  %10s  %-11s  %3.0f %%  ", scan.date.c_str(), shots_text(scan.shots).c_str(),
                    std::string(name(scan.verdict)).c_str(), 100 * scan.coverage_fraction) +
            scan.file + "\n";
  text += "\n";
  if (series.patches.empty())
    text += "No wear or build-up was found in any of them.\n";
  else
    text += "Places that wear or build up: depth with its 95 % interval, plus is metal lost\n";
  for (const FollowedPatch& patch : series.patches) text += patch_text(patch, series.scans);
  if (!series.notes.empty()) text += "\nNotes\n";
  for (const std::string& note : series.notes) text += "  - " + note + "\n";
  return text;
}

std::string series_csv(const SeriesReading& series) {
  std::string text = std::string(series_csv_header) + "\n";
  for (const FollowedPatch& patch : series.patches)
    for (std::size_t s = 0; s < series.scans.size(); ++s) {
      const auto& reading = patch.readings[s];
      if (!reading) continue;
      const auto& shots = series.scans[s].shots;
      text += patch.id + "," + series.scans[s].date + "," + (shots ? std::to_string(*shots) : "") +
              printed(",%.4f,%.4f\n", reading->depth_mm, reading->u95_mm);
    }
  return text;
}

}  // namespace boxfettle
