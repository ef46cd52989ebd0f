#include "service/request_json.hpp"

#include "input/input_error.hpp"

namespace boxfettle {

using nlohmann::json;

JsonFields JsonFields::parse(const std::string& body) {
  json object = json::parse(body, nullptr, false);
  if (!object.is_object())
    throw InputError("request", "", "the body is not one JSON object", "send it as openapi.yaml shows");
  return {std::move(object), ""};
}

void JsonFields::refuse(const std::string& key, const std::string& what, const std::string& mend) const {
  throw InputError("request", place_ + key, what, mend);
}

const json* JsonFields::find(const std::string& key) const {
  const auto found = object_.find(key);
  return found == object_.end() || found->is_null() ? nullptr : &*found;
}

const json& JsonFields::needed(const std::string& key) const {
  const json* value = find(key);
  if (value == nullptr) refuse(key, "is missing", "give it");
  return *value;
}

std::string JsonFields::text(const std::string& key, std::size_t most_characters) const {
  const json& value = needed(key);
  if (!value.is_string()) refuse(key, "is not text", "send it as a string");
  // Bytes, at most four for a character: enough to keep it in proportion.
  if (value.get_ref<const std::string&>().size() > 4 * most_characters)
    refuse(key, "is too long", "keep it under " + std::to_string(most_characters) + " characters");
  return value.get<std::string>();
}

std::string JsonFields::text_or_none(const std::string& key, std::size_t most_characters) const {
  return find(key) == nullptr ? std::string() : text(key, most_characters);
}

bool JsonFields::yes_or_no(const std::string& key) const {
  const json& value = needed(key);
  if (!value.is_boolean()) refuse(key, "is neither true nor false", "send true or false");
  return value.get<bool>();
}

std::optional<double> JsonFields::number(const std::string& key) const {
  const json* value = find(key);
  if (value == nullptr) return {};
  if (!value->is_number()) refuse(key, "is not a number", "send a number");
  return value->get<double>();
}

std::optional<std::int64_t> JsonFields::whole_number(const std::string& key) const {
  const json* value = find(key);
  if (value == nullptr) return {};
  if (!value->is_number_integer()) refuse(key, "is not a whole number", "send a whole number");
  return value->get<std::int64_t>();
}

std::vector<JsonFields> JsonFields::list(const std::string& key, std::size_t most) const {
  const json& value = needed(key);
  if (!value.is_array()) refuse(key, "is not a list", "send a list");
  if (value.size() > most) refuse(key, "is too long", "send at most " + std::to_string(most));
  std::vector<JsonFields> items;
  for (std::size_t i = 0; i < value.size(); ++i) {
    const std::string place = place_ + key + "[" + std::to_string(i) + "]";
    if (!value[i].is_object())
      throw InputError("request", place, "is not an object", "send it as openapi.yaml shows");
    items.push_back({value[i], place + "."});
  }
  return items;
}

}  // namespace boxfettle
