// Whether a value is as a schema of the OpenAPI document describes it.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace boxfettle::contract {

// What does not agree, each with its place ("$.boxes[3].verdict.state"). A member of an object that the
// schema does not describe disagrees as well, unless the schema describes none or allows others. `document`
// resolves the references. Throws std::runtime_error for a keyword this check does not know: it would be
// passed over.
std::vector<std::string> disagreements(const nlohmann::json& value, const nlohmann::json& schema,
                                       const nlohmann::json& document);

// The thing itself, or what its $ref names. Throws std::runtime_error when it names nothing.
const nlohmann::json& resolved(const nlohmann::json& thing, const nlohmann::json& document);

}  // namespace boxfettle::contract
