// What the page is told, as openapi.yaml spells it.
#pragma once

#include <memory>
#include <nlohmann/json.hpp>
#include <span>
#include <string>
#include <vector>

#include "geometry/step_answer.hpp"
#include "service/http_message.hpp"
#include "shop/box_state.hpp"
#include "shop/checkpoint.hpp"
#include "shop/logbook.hpp"
#include "shop/verdict.hpp"
#include "store/job_queue.hpp"

namespace boxfettle {

// Hold first, then watch, then fit; by number among equals.
nlohmann::json floor_json(const std::string& shop, std::span<const std::shared_ptr<const BoxState>> boxes,
                          const Catalogue& catalogue, UtcTime now);

// `entries` are the box's own, oldest first; the newest 500 are told.
nlohmann::json box_page_json(const BoxState& box, std::span<const Entry> entries,
                             std::span<const Job> open_jobs, const Catalogue& catalogue,
                             std::int64_t run_shots, UtcTime now);

nlohmann::json catalogue_json(const Catalogue& catalogue);
nlohmann::json job_json(const Job& job);
nlohmann::json bodies_json(const StepChoice& choice);  // what a failed job may be tried again with
nlohmann::json chain_check_json(const ChainCheck& check);

// Text that is no UTF-8 (it may quote a file) is shown with replacement characters.
std::string written(const nlohmann::json& json);
HttpReply json_reply(int status, const nlohmann::json& json);

}  // namespace boxfettle
