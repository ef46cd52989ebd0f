// An entry's body as JSON and back: what `canonical_text` writes, and what a page or a gauge sends.
#pragma once

#include <nlohmann/json.hpp>
#include <string_view>

#include "shop/entry.hpp"

namespace boxfettle {

// Absent and empty values are left out: an older program wrote no key for what it did not know yet.
nlohmann::json body_json(const EntryBody& body);

// For the kinds that have a `kind` of their own. Keys nobody knows are passed over, missing ones are as in a
// fresh value. Throws InputError (place "measured[2].value") for a value of the wrong type or an unknown
// word, and for a kind that is not one of them.
EntryBody body_from_json(std::string_view kind, const nlohmann::json& json);

}  // namespace boxfettle
