#include "store/stored_measurements.hpp"

#include <algorithm>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using Added = std::variant<NumberedMeasurement, Refusal>;

const std::string columns = "number, request, box, characteristic, unit, at_ms, arrived_ms, who, value, run";
// Every measurement, beside it who struck it out if anybody did.
const std::string measured =
    "SELECT m.number, m.request, m.box, m.characteristic, m.unit, m.at_ms, m.arrived_ms, m.who, m.value, m.run,"
    " s.struck_ms, s.struck_by, s.why FROM measurements m LEFT JOIN struck_measurements s"
    " ON s.box = m.box AND s.characteristic = m.characteristic AND s.number = m.number ";

NumberedMeasurement numbered(const SqlRow& row) {
  NumberedMeasurement told{as_integer(row.at(0)),
                           {.request = as_text(row.at(1)),
                            .box = as_text(row.at(2)),
                            .characteristic = as_text(row.at(3)),
                            .unit = as_text(row.at(4)),
                            .at = {as_integer(row.at(5))},
                            .arrived = {as_integer(row.at(6))},
                            .who = as_text(row.at(7)),
                            .value = as_real(row.at(8)),
                            .run = as_text(row.at(9))}};
  if (!is_null(row.at(10)))
    told.struck = Struck{{as_integer(row.at(10))}, as_text(row.at(11)), as_text(row.at(12))};
  return told;
}

std::vector<NumberedMeasurement> all_numbered(const std::vector<SqlRow>& rows) {
  std::vector<NumberedMeasurement> measurements;
  measurements.reserve(rows.size());
  for (const SqlRow& row : rows) measurements.push_back(numbered(row));
  return measurements;
}

Characteristic characteristic_in(const SqlRow& row) {
  return {as_text(row.at(0)),
          as_text(row.at(1)),
          as_integer(row.at(2)),
          as_integer(row.at(3)),
          {as_integer(row.at(4))}};
}

std::optional<Added> carried_out_before(Access& access, const Measurement& asked) {
  const auto rows =
      access.run(measured + "WHERE m.box = ? AND m.request = ?", {asked.box, asked.request});
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
  access.run("INSERT INTO measurements (" + columns + ") VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
             {number, asked.request, asked.box, asked.characteristic, asked.unit, asked.at.ms_since_epoch,
              asked.arrived.ms_since_epoch, asked.who, asked.value, asked.run});
  return NumberedMeasurement{number, asked};
}

Added strike_one(Access& access, const Strike& strike) {
  check_strike(strike);
  const std::vector<SqlValue> place{strike.box, strike.characteristic, strike.number};
  const std::string one = measured + "WHERE m.box = ? AND m.characteristic = ? AND m.number = ?";
  const auto found = access.run(one, place);
  const std::string said = "No. " + std::to_string(strike.number) + " of the " + strike.characteristic;
  if (found.empty())
    return Refusal{said + " of " + strike.box + " was never measured.", "Look at the number again."};
  const NumberedMeasurement kept = numbered(found[0]);
  if (kept.struck) {
    const auto before = access.run(
        "SELECT 1 FROM struck_measurements WHERE box = ? AND characteristic = ? AND number = ? AND request = ?",
        {strike.box, strike.characteristic, strike.number, strike.request});
    if (!before.empty()) return kept;
    return Refusal{said + " was struck out before, by " + kept.struck->who + ".", "Nothing more is to be done."};
  }
  if (auto refusal = may_not_strike(strike.person, kept)) return *refusal;
  access.run("INSERT INTO struck_measurements VALUES (?, ?, ?, ?, ?, ?, ?)",
             {strike.box, strike.characteristic, strike.number, strike.request, strike.at.ms_since_epoch,
              strike.person.name, strike.why});
  return numbered(access.run(one, place).at(0));
}

// Those not struck out, from one of them on by the time of measuring.
std::string standing_from(const std::string& order) {
  return measured +
         "WHERE m.box = ? AND m.characteristic = ? AND s.number IS NULL AND (m.at_ms, m.number) >= "
         "(SELECT at_ms, number FROM measurements WHERE box = ? AND characteristic = ? AND number = ?) "
         "ORDER BY m.at_ms " +
         order + ", m.number " + order + " LIMIT ?";
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

Added StoredMeasurements::strike(const Strike& strike) {
  Access access = database_.access();
  Transaction change(access);
  Added struck = strike_one(access, strike);
  change.commit();
  return struck;
}

std::vector<Characteristic> StoredMeasurements::of_box(std::string_view box) {
  std::vector<Characteristic> found;
  for (const SqlRow& row : database_.access().run(
           "SELECT m.characteristic, max(m.unit), count(*), count(s.number), max(m.at_ms) FROM measurements m"
           " LEFT JOIN struck_measurements s"
           " ON s.box = m.box AND s.characteristic = m.characteristic AND s.number = m.number"
           " WHERE m.box = ? GROUP BY m.characteristic ORDER BY 5 DESC, 1",
           {std::string(box)}))
    found.push_back(characteristic_in(row));
  return found;
}

std::optional<Characteristic> StoredMeasurements::characteristic(std::string_view box,
                                                                 std::string_view name) {
  const SqlValue of_box{std::string(box)}, named{std::string(name)};
  // Numbers have no gaps, so the last one tells how many there are.
  const auto rows = database_.access().run(
      "SELECT characteristic, unit, number,"
      " (SELECT count(*) FROM struck_measurements WHERE box = ? AND characteristic = ?), at_ms"
      " FROM measurements WHERE box = ? AND characteristic = ? ORDER BY number DESC LIMIT 1",
      {of_box, named, of_box, named});
  if (rows.empty()) return std::nullopt;
  return characteristic_in(rows[0]);
}

std::vector<NumberedMeasurement> StoredMeasurements::newest(std::string_view box,
                                                            std::string_view characteristic,
                                                            std::size_t most) {
  auto found = all_numbered(database_.access().run(
      measured + "WHERE m.box = ? AND m.characteristic = ? ORDER BY m.at_ms DESC, m.number DESC LIMIT ?",
      {std::string(box), std::string(characteristic), static_cast<std::int64_t>(most)}));
  std::ranges::reverse(found);
  return found;
}

std::vector<NumberedMeasurement> StoredMeasurements::first_standing(std::string_view box,
                                                                    std::string_view characteristic,
                                                                    std::int64_t from, std::size_t most) {
  const SqlValue of_box{std::string(box)}, named{std::string(characteristic)};
  return all_numbered(database_.access().run(
      standing_from("ASC"), {of_box, named, of_box, named, from, static_cast<std::int64_t>(most)}));
}

std::vector<NumberedMeasurement> StoredMeasurements::newest_standing(std::string_view box,
                                                                     std::string_view characteristic,
                                                                     std::int64_t from, std::size_t most) {
  const SqlValue of_box{std::string(box)}, named{std::string(characteristic)};
  auto found = all_numbered(database_.access().run(
      standing_from("DESC"), {of_box, named, of_box, named, from, static_cast<std::int64_t>(most)}));
  std::ranges::reverse(found);
  return found;
}

}  // namespace boxfettle
