// How air and gas leave a box of the shop, as its page asks: with what the record says of its vents, or with
// other states of them tried.
#pragma once

#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "corebox/core_box.hpp"
#include "geometry/triangle_mesh.hpp"
#include "service/request_json.hpp"
#include "service/vent_record.hpp"
#include "shop/box_state.hpp"
#include "store/store.hpp"

namespace boxfettle {

inline constexpr const char* air_study_job = "air-study";
// Of what was tried on a box so many studies stay, beside that of the box as found: a slider makes many, each
// of a few megabytes, and whoever wants an older one asks again.
inline constexpr int tried_studies_kept = 20;

// Everything a study of one box rests on.
struct AirInputs {
  BoxRegistered registered;
  CoreBox box;                                // as measured, vents as found
  std::map<std::string, VentOnRecord> vents;  // by id
  std::map<std::string, double> tried;        // plugged instead of what was found; empty: the box as found

  // Two studies of the same have the same id: what was worked out is found again by what went into it.
  std::string study_id() const;
};

// Absent when the box has no box file or no design on record. Throws InputError when a kept file cannot be
// read.
std::optional<AirInputs> air_inputs(const BoxState& state, Store& store);

// What a request tries: {"vents": [{"id", "plugged"}]}. Throws InputError naming the field.
std::map<std::string, double> vents_tried(const CoreBox& box, const JsonFields& fields);

// A job's settings as they are queued, and back.
std::string air_job_settings(const std::map<std::string, double>& tried);
std::map<std::string, double> air_job_tried(const std::string& settings);

// How the box fills as it stands: `blow_json` without its frame. Throws InputError as study_blowing does.
nlohmann::json blow_of_box(const TriangleMesh& design_mm, const CoreBox& box);

// What openapi.yaml calls AirPage.
nlohmann::json air_page_json(const AirInputs& inputs, const std::optional<std::string>& study);

// Minutes at most; `progress` as in VentingSettings. Throws InputError when the design or the box file is at
// fault, VentingCancelled when `progress` said stop.
// What is kept stands beside the scan readings: the study's JSON, and the cavity in place of a surface.
StoredReading do_air_study(const AirInputs& inputs, const StoredFiles& files,
                           const std::function<bool(double, std::string_view)>& progress);

// Keeps a finished study, and lets go of the oldest that were tried.
void keep_air_study(const StoredReading& study, AirInputs inputs, StoredReadings& kept);

class Router;
struct ServiceDesk;
void add_air_routes(Router& router, ServiceDesk& desk);  // `desk` outlives the router

}  // namespace boxfettle
