#include "store/stored_readings.hpp"

namespace boxfettle {
namespace {

std::optional<SqlValue> column_of(Database& database, const std::string& column, std::string_view id) {
  auto rows = database.access().run("SELECT " + column + " FROM readings WHERE id = ?", {std::string(id)});
  if (rows.empty()) return std::nullopt;
  return std::move(rows[0][0]);
}

}  // namespace

void StoredReadings::put(const StoredReading& reading) {
  database_.access().run(
      "INSERT OR REPLACE INTO readings (id, box, json, surface, section) VALUES (?, ?, ?, ?, ?)",
      {reading.id, reading.box, reading.json, reading.surface, reading.section});
}

// A row written again takes a new rowid, the highest: their order is the order of writing.
void StoredReadings::keep_newest(std::string_view box, std::string_view id_begins, std::int64_t count,
                                 std::string_view besides) {
  static constexpr const char* asked = " box = ?1 AND id >= ?2 AND id < ?2 || char(1114111) AND id <> ?3 ";
  database_.access().run(std::string("DELETE FROM readings WHERE") + asked +
                             "AND id NOT IN (SELECT id FROM readings WHERE" + asked +
                             "ORDER BY rowid DESC LIMIT ?4)",
                         {std::string(box), std::string(id_begins), std::string(besides), count});
}

std::optional<std::string> StoredReadings::json(std::string_view id) {
  const auto found = column_of(database_, "json", id);
  return found ? std::optional(as_text(*found)) : std::nullopt;
}

std::optional<SqlBlob> StoredReadings::surface(std::string_view id) {
  const auto found = column_of(database_, "surface", id);
  return found ? std::optional(as_blob(*found)) : std::nullopt;
}

std::optional<std::string> StoredReadings::section(std::string_view id) {
  const auto found = column_of(database_, "section", id);
  return found ? std::optional(as_text(*found)) : std::nullopt;
}

}  // namespace boxfettle
