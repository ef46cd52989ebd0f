// Random but sensible days in a core shop, for property tests.
#pragma once

#include <rapidcheck.h>

#include <string>
#include <vector>

#include "shop/checkpoint.hpp"
#include "shop/inspected_value.hpp"
#include "shop/requests.hpp"

namespace boxfettle {

inline BoxRegistered volute_box() {
  return {.name = "Pump volute core",
          .makes = "Volute core V12",
          .process = "cold-box",
          .material = "aluminium",
          .home_place = "Rack B, bay 3",
          .limits = {},
          .box_file = content_hash("box file"),
          .design = content_hash("design"),
          .design_name = "volute.stl"};
}

inline std::string any_remark() {
  return *rc::gen::element<std::string>("", "left pin loose", "scored, \"deep\"", "Stift lose \xC3\xBC",
                                        "two\nlines");
}

inline CheckpointResult any_result(const Checkpoint& point) {
  CheckpointResult result{.checkpoint = point.id,
                          .passed = *rc::gen::weightedElement<bool>({{3, true}, {1, false}}),
                          .measured = {},
                          .unit = "",
                          .remark = any_remark()};
  if (point.evidence == Evidence::measure) result.measured = *rc::gen::inRange(0, 1000) / 997.0;
  result.passed = result.passed && beyond_bounds(point, {}, result).empty();
  return result;
}

inline InspectBox any_inspection() {
  InspectBox inspection;
  for (const Checkpoint& point : shipped_catalogue().checkpoints)
    if (*rc::gen::arbitrary<bool>()) inspection.results.push_back(any_result(point));
  if (inspection.results.empty())
    inspection.results.push_back(any_result(shipped_catalogue().checkpoints.front()));
  return inspection;
}

inline RecordScan any_scan() {
  const auto verdict = static_cast<ScanRead::Verdict>(*rc::gen::inRange(0, 4));
  RecordScan record{{.reading = "r" + std::to_string(*rc::gen::inRange(0, 100)),
                     .file_name = "volute scan.ply",
                     .of = static_cast<ScanRead::Subject>(*rc::gen::inRange(0, 3)),
                     .scan = content_hash("scan"),
                     .verdict = verdict,
                     .findings = {},
                     .mismatch_mm = {},
                     .gap_mm = {}}};
  if (*rc::gen::arbitrary<bool>()) record.scan.gap_mm = *rc::gen::inRange(-100, 100) / 313.0;
  if (*rc::gen::arbitrary<bool>())
    record.scan.findings.push_back(
        {"wear", "watch", "Worn at the tongue.", *rc::gen::inRange(-100, 100) / 7.0, 0.3});
  return record;
}

// Mostly about the same few checkpoints, so that holds, re-checks and releases meet.
inline HoldBox any_hold() {
  const auto checkpoint = *rc::gen::element<std::string>("handles", "clamps", "dowels", "");
  return {"cracked core at shift start", *rc::gen::weightedElement<bool>({{3, true}, {1, false}}),
          checkpoint};
}

inline Request any_request(const std::string& id) {
  Request request{id, "TM-0412", WriteNote{"nothing to tell"}};
  switch (*rc::gen::inRange(0, 10)) {
    case 0:
      request.what = RegisterBox{volute_box()};
      break;
    case 1:
      request.what = MoveBox{{static_cast<Place::Kind>(*rc::gen::inRange(0, 5)), "Rack C, bay 1"}};
      break;
    case 2:
    case 3:
      request.what = any_inspection();
      break;
    case 4:
      request.what = any_scan();
      break;
    case 5:
      request.what = any_hold();
      break;
    case 6:
      request.what = ReleaseBox{"mended and tried"};
      break;
    default:
      break;
  }
  return request;
}

inline Person any_person() {
  return {"Asha", static_cast<Role>(*rc::gen::inRange(0, 5))};
}

// Requests in order; some are sent again under the id they had before.
inline std::vector<Request> any_days_work() {
  std::vector<Request> requests{{"request-first", "TM-0412", RegisterBox{volute_box()}}};
  const int count = *rc::gen::inRange(0, 40);
  for (int i = 0; i < count; ++i) {
    const bool again = *rc::gen::weightedElement<bool>({{9, false}, {1, true}});
    requests.push_back(again ? requests[*rc::gen::inRange<std::size_t>(0, requests.size())]
                             : any_request("request-" + std::to_string(i)));
  }
  return requests;
}

}  // namespace boxfettle
