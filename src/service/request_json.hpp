// The JSON body of a request, read field by field. Each reader throws InputError naming the field: missing,
// of another type, too long. Fields nobody asks for are passed over.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

namespace boxfettle {

class JsonFields {
 public:
  // Throws InputError unless `body` is one JSON object.
  static JsonFields parse(const std::string& body);

  std::string text(const std::string& key, std::size_t most_characters) const;  // needed
  std::string text_or_none(const std::string& key, std::size_t most_characters) const;
  bool yes_or_no(const std::string& key) const;  // needed
  std::optional<double> number(const std::string& key) const;
  std::optional<std::int64_t> whole_number(const std::string& key) const;
  std::vector<JsonFields> list(const std::string& key, std::size_t most) const;  // needed, of objects

  const nlohmann::json& object() const { return object_; }

  // Throws InputError naming the field.
  [[noreturn]] void refuse(const std::string& key, const std::string& what, const std::string& mend) const;

 private:
  JsonFields(nlohmann::json object, std::string place)
      : object_(std::move(object)), place_(std::move(place)) {}
  const nlohmann::json* find(const std::string& key) const;  // null when absent or null
  const nlohmann::json& needed(const std::string& key) const;

  nlohmann::json object_;
  std::string place_;  // "results[2]."; empty for the body itself
};

}  // namespace boxfettle
