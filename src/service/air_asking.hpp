// Asking for studies of a box's air: by a person on its page, and by the record itself when a vent is found
// plugged or is cleaned.
#pragma once

#include <optional>
#include <string>

#include "service/air_study.hpp"
#include "service/service_desk.hpp"

namespace boxfettle {

// The id of the study of just these inputs, where it was worked out before.
std::optional<std::string> kept_study(const AirInputs& inputs, Store& store);

// An open job for the same when there is one, else a new one for the worker.
Job study_asked_for(const AirInputs& inputs, const std::string& who, ServiceDesk& desk);

// A vent's check came in, or the vents were cleaned: what that does to filling and gassing is told to the
// logbook, at once where the state was studied before, else when the worker has studied it. `cause` is the
// request that told of the vents. Nothing happens for a box without a readable box file and design.
void vents_changed(const std::string& box, const std::string& cause, const Person& person, ServiceDesk& desk);

// Cleaning can only mend what was found wanting; the rest of the time it asks for no study.
bool vents_in_doubt(const BoxState& box);

}  // namespace boxfettle
