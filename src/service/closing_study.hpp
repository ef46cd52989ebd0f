// How a box of the shop closes, as its page asks: with the values on record and the last inspection's, or
// with others tried instead.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <nlohmann/json.hpp>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "closing/cavity_footprint.hpp"
#include "closing/dowel_wear.hpp"
#include "closing/gap_field.hpp"
#include "corebox/core_box.hpp"
#include "service/request_json.hpp"
#include "shop/box_state.hpp"
#include "store/stored_files.hpp"

namespace boxfettle {

struct ClosingStudy {
  CoreBox box;                               // limits by casting grade where the box file gives one
  std::optional<CavityFootprint> footprint;  // absent without a design
  std::vector<std::string> notes;
};

// Reading a design takes a tenth of a second and more, and sliders ask twenty times a second: the last few
// boxes asked about are kept. Safe from any thread.
class ClosingStudies {
 public:
  explicit ClosingStudies(const StoredFiles& files) : files_(files) {}

  // Null when the box has no box file on record. Throws InputError when a kept file cannot be read.
  std::shared_ptr<const ClosingStudy> of(const BoxRegistered& registered);

 private:
  const StoredFiles& files_;
  std::mutex mutex_;
  std::map<std::string, std::shared_ptr<const ClosingStudy>> kept_;  // by content of box file and design
};

// The last inspection's values where it measured any.
struct MeasuredClosing {
  std::optional<LastResult> dowel_shift, leaf_clamped, leaf_free;
};
MeasuredClosing measured_closing(const BoxState& state);

// The play that inspections felt at the dowels, each with the shots made by then; oldest first.
std::vector<PlayReading> play_series(std::span<const Entry> entries,
                                     const std::function<double(UtcTime)>& shots_by);

// The box with what was measured in place: round bushes as wide as the play felt, feeler readings raised
// evenly to the thickest leaf. Only what is worse than the box file says changes.
CoreBox as_measured(CoreBox box, const MeasuredClosing& measured);

// The box with values tried instead: dowels' pin_mm and bush_mm, clamps' torque_Nm or force_N, and the
// thickest leaf clamped_mm. Throws InputError naming the field: no such dowel or clamp, a pin that does not
// enter, out of range.
CoreBox with_tried(CoreBox box, const JsonFields& tried);

// What openapi.yaml calls ClosingPage and ClosingAnswer. Renewals are looked for in the first only: they take
// longer than a slider may.
nlohmann::json closing_page_json(const ClosingStudy& study, const MeasuredClosing& measured,
                                 std::span<const PlayReading> play);
nlohmann::json closing_answer_json(const ClosingStudy& study, const CoreBox& box, bool renewals);

}  // namespace boxfettle
