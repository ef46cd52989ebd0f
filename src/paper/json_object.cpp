#include "paper/json_object.hpp"

namespace boxfettle {

using Json = nlohmann::ordered_json;

Json json_object(const std::vector<InputFile>& inputs) {
  Json object{{"boxfettle", BOXFETTLE_VERSION}, {"inputs", Json::array()}};
  for (const InputFile& input : inputs)
    object["inputs"].push_back({{"file", input.file}, {"size", input.size}, {"sha256", input.sha256}});
  return object;
}

std::string json_text(const Json& object) {
  return object.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
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
