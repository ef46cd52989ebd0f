#include "service/kept_plan.hpp"

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "planning/timetable.hpp"

namespace boxfettle {
namespace {

using Boxes = std::vector<std::shared_ptr<const BoxState>>;

std::int64_t last_entry(const ShopState& whole, const Boxes& boxes) {
  std::int64_t last = whole.last_entry;
  for (const auto& box : boxes) last = std::max(last, box->last_entry);
  return last;
}

ToolRoomPlan worked_out(LiveShop& shop, const ShopState& whole, const Boxes& boxes, UtcTime now) {
  std::map<std::string, std::int64_t> shots;
  for (const auto& box : boxes)
    if (box->runs.open) shots[box->box] = shop.run_shots(*box);
  const PlanQuestion question = plan_question(whole, boxes, boxes_come_free(boxes, shots, now), now);
  const auto table = best_timetable(question.problem);
  return tool_room_plan(question, table, boxes);
}

}  // namespace

std::shared_ptr<const ToolRoomPlan> KeptPlan::plan(LiveShop& shop, UtcTime now) {
  const std::lock_guard lock(mutex_);
  const auto whole = shop.whole();
  const Boxes boxes = shop.boxes();
  const Standing standing{last_entry(*whole, boxes), now.ms_since_epoch / (30 * 60 * 1000)};
  if (!plan_ || standing != standing_) {
    plan_ = std::make_shared<const ToolRoomPlan>(worked_out(shop, *whole, boxes, now));
    standing_ = standing;
  }
  return plan_;
}

}  // namespace boxfettle
