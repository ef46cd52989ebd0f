#include "contract/schema_check.hpp"

#include <algorithm>
#include <set>
#include <stdexcept>

#include "input/input_error.hpp"
#include "shop/utc_time.hpp"

namespace boxfettle::contract {
namespace {

using nlohmann::json;

const std::set<std::string> known_keywords{
    "allOf", "type",     "description", "properties", "required",  "additionalProperties",
    "items",    "enum",        "format",     "minLength", "maxLength",
    "minItems", "maxItems",    "minimum",    "maximum",   "$ref",
    "default"};

bool is_of_type(const json& value, const std::string& type) {
  if (type == "object") return value.is_object();
  if (type == "array") return value.is_array();
  if (type == "string") return value.is_string();
  if (type == "boolean") return value.is_boolean();
  if (type == "integer") return value.is_number_integer();
  if (type == "number") return value.is_number();
  if (type == "null") return value.is_null();
  throw std::runtime_error("'" + type + "' is no type");
}

class Check {
 public:
  explicit Check(const json& document) : document_(document) {}

  void look(const json& value, const json& described, const std::string& place) {
    const json& schema = resolved(described, document_);
    for (const auto& [keyword, unused] : schema.items())
      if (!known_keywords.contains(keyword)) throw std::runtime_error("'" + keyword + "' is not checked");
    if (!type_fits(value, schema))
      return wrong(place, "is " + value.dump().substr(0, 60) + ", not a " + schema["type"].dump());
    for (const json& part : schema.value("allOf", json::array())) look(value, part, place);
    if (schema.contains("enum")) look_at_choice(value, schema["enum"], place);
    if (value.is_object()) look_at_object(value, schema, place);
    if (value.is_array()) look_at_array(value, schema, place);
    if (value.is_string()) look_at_text(value, schema, place);
    if (value.is_number()) look_at_number(value, schema, place);
  }

  std::vector<std::string> found;

 private:
  void wrong(const std::string& place, const std::string& what) { found.push_back(place + " " + what); }

  static bool type_fits(const json& value, const json& schema) {
    if (!schema.contains("type")) return true;
    const json& type = schema["type"];
    if (type.is_string()) return is_of_type(value, type);
    return std::any_of(type.begin(), type.end(), [&](const json& one) { return is_of_type(value, one); });
  }

  void look_at_choice(const json& value, const json& choices, const std::string& place) {
    if (std::find(choices.begin(), choices.end(), value) == choices.end())
      wrong(place, "is " + value.dump() + ", none of " + choices.dump());
  }

  void look_at_object(const json& value, const json& schema, const std::string& place) {
    for (const json& needed : schema.value("required", json::array()))
      if (!value.contains(needed.get<std::string>())) wrong(place, "lacks " + needed.dump());
    const json properties = schema.value("properties", json::object());
    // As JSON Schema has it: what a document does not speak of may be there. The commands' answers, which the service
    // hands on whole, promise that keys may be added.
    const json others = schema.value("additionalProperties", json(true));
    for (const auto& [key, member] : value.items()) {
      const std::string at = place + "." + key;
      if (properties.contains(key))
        look(member, properties[key], at);
      else if (others.is_object())
        look(member, others, at);
      else if (others == false)
        wrong(at, "is not described");
    }
  }

  void look_at_array(const json& value, const json& schema, const std::string& place) {
    if (value.size() < schema.value("minItems", std::size_t{0})) wrong(place, "has too few items");
    if (value.size() > schema.value("maxItems", value.size())) wrong(place, "has too many items");
    if (!schema.contains("items")) return;
    for (std::size_t i = 0; i < value.size(); ++i)
      look(value[i], schema["items"], place + "[" + std::to_string(i) + "]");
  }

  void look_at_text(const json& value, const json& schema, const std::string& place) {
    const auto& text = value.get_ref<const std::string&>();
    if (text.size() < schema.value("minLength", std::size_t{0})) wrong(place, "is too short");
    if (text.size() > schema.value("maxLength", text.size())) wrong(place, "is too long");
    if (schema.value("format", "") != "date-time") return;
    try {
      UtcTime::parse(text);
    } catch (const InputError&) {
      wrong(place, "is '" + text + "', no time");
    }
  }

  void look_at_number(const json& value, const json& schema, const std::string& place) {
    const double number = value;
    if (number < schema.value("minimum", number)) wrong(place, "is too small");
    if (number > schema.value("maximum", number)) wrong(place, "is too large");
  }

  const json& document_;
};

}  // namespace

const json& resolved(const json& thing, const json& document) {
  if (!thing.is_object() || !thing.contains("$ref")) return thing;
  const std::string reference = thing["$ref"];
  const json::json_pointer to(reference.substr(1));
  if (!document.contains(to)) throw std::runtime_error(reference + " names nothing");
  return resolved(document.at(to), document);
}

std::vector<std::string> disagreements(const json& value, const json& schema, const json& document) {
  Check check(document);
  check.look(value, schema, "$");
  return check.found;
}

}  // namespace boxfettle::contract
