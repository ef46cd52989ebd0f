#include "store/stored_measurements.hpp"

#include <algorithm>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using Added = std::variant<NumberedMeasurement, Refusal>;

const std::string columns = "number, request, box, characteristic, unit, at_ms, who, value, run";

NumberedMeasurement numbered(const SqlRow& row) {
  return {as_integer(row.at(0)),
          {.request = as_text(row.at(1)),
           .box = as_text(row.at(2)),
           .characteristic = as_text(row.at(3)),
           .unit = as_text(row.at(4)),
           .at = {as_integer(row.at(5))},
           .who = as_text(row.at(6)),
           .value = as_real(row.at(7)),
           .run = as_text(row.at(8))}};
}

std::vector<NumberedMeasurement> all_numbered(const std::vector<SqlRow>& rows) {
  std::vector<NumberedMeasurement> measurements;
  measurements.reserve(rows.size());
  for (const SqlRow& row : rows) measurements.push_back(numbered(row));
  return measurements;
}

Characteristic characteristic_in(const SqlRow& row) {
  return {as_text(row.at(0)), as_text(row.at(1)), as_integer(row.at(2)), {as_integer(row.at(3))}};
}

std::optional<Added> carried_out_before(Access& access, const Measurement& asked) {
  const auto rows = access.run("SELECT " + columns + " FROM measurements WHERE box = ? AND request = ?",
                               {asked.box, asked.request});
  if (rows.empty()) return std::nullopt;
  NumberedMeasurement kept = numbered(rows[0]);
  const Measurement& before = kept.measurement;
  if (before.value != asked.value || before.characteristic != asked.characteristic ||
      before.unit != asked.unit)
    return Refusal{"This request was already carried out with another value", "Enter the value again"};
  return kept;
}

Added add_one(Access& access, const Measurement& asked) {
  check_measurement(asked);
  if (auto before = carried_out_before(access, asked)) return *before;
  const auto last = access.run(
      "SELECT number, unit FROM measurements WHERE box = ? AND characteristic = ? ORDER BY number DESC "
      "LIMIT 1",
      {asked.box, asked.characteristic});
  if (!last.empty() && as_text(last[0].at(1)) != asked.unit)
    return Refusal{
        "The " + asked.characteristic + " of " + asked.box + " is measured in " + as_text(last[0].at(1)),
        "Give the value in " + as_text(last[0].at(1)) + ", or another name for what is measured"};
  const std::int64_t number = last.empty() ? 1 : as_integer(last[0].at(0)) + 1;
  access.run("INSERT INTO measurements (" + columns + ") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
             {number, asked.request, asked.box, asked.characteristic, asked.unit, asked.at.ms_since_epoch,
              asked.who, asked.value, asked.run});
  return NumberedMeasurement{number, asked};
}

}  // namespace

Added StoredMeasurements::add(const Measurement& measurement) {
  Access access = database_.access();
  Transaction change(access);
  Added added = add_one(access, measurement);
  change.commit();
  return added;
}

void StoredMeasurements::add(std::span<const Measurement> measurements) {
  Access access = database_.access();
  Transaction all(access);
  for (const Measurement& one : measurements) {
    const Added added = add_one(access, one);
    if (const auto* refusal = std::get_if<Refusal>(&added))
      throw InputError("", one.request, refusal->what, refusal->mend);
  }
  all.commit();
}

std::vector<Characteristic> StoredMeasurements::of_box(std::string_view box) {
  std::vector<Characteristic> found;
  for (const SqlRow& row :
       database_.access().run("SELECT characteristic, max(unit), count(*), max(at_ms) FROM measurements"
                              " WHERE box = ? GROUP BY characteristic ORDER BY 4 DESC, 1",
                              {std::string(box)}))
    found.push_back(characteristic_in(row));
  return found;
}

std::optional<Characteristic> StoredMeasurements::characteristic(std::string_view box,
                                                                 std::string_view name) {
  // Numbers have no gaps, so the newest row tells how many there are.
  const auto rows = database_.access().run(
      "SELECT characteristic, unit, number, at_ms FROM measurements WHERE box = ? AND characteristic = ?"
      " ORDER BY number DESC LIMIT 1",
      {std::string(box), std::string(name)});
  if (rows.empty()) return std::nullopt;
  return characteristic_in(rows[0]);
}

std::vector<NumberedMeasurement> StoredMeasurements::newest(std::string_view box,
                                                            std::string_view characteristic,
                                                            std::size_t most) {
  auto found = all_numbered(database_.access().run(
      "SELECT " + columns +
          " FROM measurements WHERE box = ? AND characteristic = ? ORDER BY number DESC LIMIT ?",
      {std::string(box), std::string(characteristic), static_cast<std::int64_t>(most)}));
  std::ranges::reverse(found);
  return found;
}

std::vector<NumberedMeasurement> StoredMeasurements::from(std::string_view box,
                                                          std::string_view characteristic, std::int64_t from,
                                                          std::size_t most) {
  return all_numbered(database_.access().run(
      "SELECT " + columns +
          " FROM measurements WHERE box = ? AND characteristic = ? AND number >= ? ORDER BY number LIMIT ?",
      {std::string(box), std::string(characteristic), from, static_cast<std::int64_t>(most)}));
}

}  // namespace boxfettle
