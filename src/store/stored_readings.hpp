// Scan readings as the page fetches them: written once, read as they are.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "store/database.hpp"

namespace boxfettle {

struct StoredReading {
  std::string id;
  std::string box;
  std::string json;     // the reading as `boxfettle scan --json` prints it
  SqlBlob surface;      // the coloured surface, as the API describes it
  std::string section;  // the section along the parting face, JSON; empty when there is none
};

class StoredReadings {
 public:
  explicit StoredReadings(Database& database) : database_(database) {}

  void put(
      const StoredReading& reading);  // the same id again replaces it: a job that is done twice writes once
  // Of a box's readings whose ids begin so, the `count` written last stay, and the one named `besides` them;
  // the others are gone.
  void keep_newest(std::string_view box, std::string_view id_begins, std::int64_t count,
                   std::string_view besides);
  std::optional<std::string> json(std::string_view id);
  std::optional<SqlBlob> surface(std::string_view id);
  std::optional<std::string> section(std::string_view id);

 private:
  Database& database_;
};

}  // namespace boxfettle
