#include "service/air_asking.hpp"

#include <algorithm>

#include "input/input_error.hpp"
#include "service/air_figures.hpp"
#include "service/page_json.hpp"
#include "service/told_figures.hpp"

namespace boxfettle {
namespace {

bool waits(const Job& job, const NewJob& work) {
  return job.work.kind == work.kind && job.work.settings == work.settings;
}

}  // namespace

std::optional<std::string> kept_study(const AirInputs& inputs, Store& store) {
  const std::string id = inputs.study_id();
  return store.readings.json(id) ? std::optional(id) : std::nullopt;
}

Job study_asked_for(const AirInputs& inputs, const std::string& who, ServiceDesk& desk) {
  NewJob work;
  work.kind = air_study_job;
  work.box = inputs.box.id;
  work.who = who;
  work.file = *inputs.registered.box_file;
  work.settings = air_job_settings(inputs.tried);
  for (const Job& open : desk.store.jobs.open_of_box(work.box))
    if (waits(open, work)) return open;
  const Job job = desk.store.jobs.queue(work, desk.now());
  desk.feed.publish("job", written(job_json(job)));
  desk.wake_worker();
  return job;
}

void vents_changed(const std::string& id, const std::string& cause, const Person& person, ServiceDesk& desk) {
  try {
    const auto inputs = air_inputs(*desk.shop.box(id), desk.store);
    if (!inputs) return;
    if (const auto kept = desk.store.readings.json(inputs->study_id()))
      tell_figures(study_figures(nlohmann::json::parse(*kept), inputs->box.process), id, cause, person,
                   desk.shop, desk.now());
    else
      study_asked_for(*inputs, person.name, desk);
  } catch (const InputError&) {
    // What cannot be read holds up no record: the page of the box's air says what is wrong with it.
  }
}

bool vents_in_doubt(const BoxState& box) {
  return std::any_of(box.computed.begin(), box.computed.end(), [](const auto& one) {
    const auto& [what, last] = one;
    return (what == filling_figure || what == gassing_figure) &&
           last.computed.verdict != Computed::Verdict::fit;
  });
}

}  // namespace boxfettle
