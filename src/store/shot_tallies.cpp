#include "store/shot_tallies.hpp"

namespace boxfettle {
namespace {

constexpr std::int64_t ms_per_minute = 60'000;

std::int64_t minute_of(UtcTime at) {
  return at.ms_since_epoch / ms_per_minute;
}

}  // namespace

void ShotTallies::add(std::string_view box, std::string_view station, UtcTime at, std::int64_t shots) {
  const ShotCount count{at, std::string(box), std::string(station), shots};
  add({&count, 1});
}

void ShotTallies::add(std::span<const ShotCount> counts) {
  write(counts, "count + ?4");
}

void ShotTallies::tell(std::span<const ShotCount> minutes) {
  write(minutes, "max(count, ?4)");
}

void ShotTallies::write(std::span<const ShotCount> counts, const std::string& where_one_stands) {
  Access access = database_.access();
  Transaction all(access);
  for (const ShotCount& count : counts)
    access.run(
        "INSERT INTO shots (box, station, minute, count) VALUES (?1, ?2, ?3, ?4)"
        " ON CONFLICT (box, station, minute) DO UPDATE SET count = " +
            where_one_stands,
        {count.box, count.station, minute_of(count.at), count.shots});
  all.commit();
}

std::int64_t ShotTallies::total(std::string_view box) {
  return as_integer(database_.access()
                        .run("SELECT coalesce(sum(count), 0) FROM shots WHERE box = ?", {std::string(box)})
                        .at(0)
                        .at(0));
}

std::int64_t ShotTallies::between(std::string_view box, UtcTime from, UtcTime before) {
  const auto rows = database_.access().run(
      "SELECT coalesce(sum(count), 0) FROM shots WHERE box = ? AND minute >= ? AND minute < ?",
      {std::string(box), minute_of(from), minute_of(before)});
  return as_integer(rows.at(0).at(0));
}

}  // namespace boxfettle
