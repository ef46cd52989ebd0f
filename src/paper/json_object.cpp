#include "paper/json_object.hpp"

namespace boxfettle {

using Json = nlohmann::ordered_json;

Json json_object(const std::vector<InputFile>& inputs) {
  Json object{{"boxfettle", BOXFETTLE_VERSION}, {"inputs", Json::array()}};
  for (const InputFile& input : inputs)
    object["inputs"].push_back({{"file", input.file}, {"size", input.size}, {"sha256", input.sha256}});
  return object;
}

namespace {

constexpr int indent = 2;

// As it stands inside an object or a list `depth` levels down.
std::string indented(const Json& value, int depth) {
  const std::string text = value.dump(indent, ' ', false, Json::error_handler_t::replace);
  std::string moved;
  for (const char c : text) {
    moved += c;
    if (c == '\n') moved.append(static_cast<std::size_t>(indent * depth), ' ');
  }
  return moved;
}

// Room is made once, by what the first item takes: a text that doubles as it grows takes three times its size.
void append_list(std::string& text, std::size_t count, const std::function<Json(std::size_t)>& item) {
  text += "[";
  for (std::size_t i = 0; i < count; ++i) {
    const std::string one = indented(item(i), 2);
    if (i == 0) text.reserve(text.size() + count * (one.size() + one.size() / 4) + 4096);
    text.append(i > 0 ? ",\n    " : "\n    ").append(one);
  }
  text += count > 0 ? "\n  ]" : "]";
}

}  // namespace

std::string json_text(const Json& object) {
  return indented(object, 0) + "\n";
}

std::string json_text(const Json& object, std::string_view key, std::size_t count,
                      const std::function<Json(std::size_t)>& item) {
  std::string text = "{";
  for (const auto& [name, value] : object.items()) {
    text.append(text.size() > 1 ? ",\n  " : "\n  ").append(Json(name).dump()).append(": ");
    if (name == key)
      append_list(text, count, item);
    else
      text += indented(value, 1);
  }
  text += "\n}\n";
  return text;
}

void put(Json& object, const char* key, const Estimate& estimate) {
  Json& told = object[key] = Json::object();
  put(told, "value", estimate.value);
  put(told, "low", estimate.low);
  put(told, "high", estimate.high);
}

void put(Json& object, const char* key, const std::optional<Estimate>& estimate) {
  if (estimate) put(object, key, *estimate);
}

}  // namespace boxfettle
