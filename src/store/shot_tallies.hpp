// How many cores a box shot, per minute and station. Counts are not entries: there are too many, and they
// only ever add up.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "shop/utc_time.hpp"
#include "store/database.hpp"

namespace boxfettle {

struct ShotCount {
  UtcTime at;  // counts to the minute
  std::string box;
  std::string station;
  std::int64_t shots;
};

class ShotTallies {
 public:
  explicit ShotTallies(Database& database) : database_(database) {}

  void add(std::string_view box, std::string_view station, UtcTime at,
           std::int64_t shots);                 // to the minute of `at`
  void add(std::span<const ShotCount> counts);  // all or none, in one commit
  // What a counter tells of whole minutes: told again, or out of order, the highest count of a minute stands.
  // All or none.
  void tell(std::span<const ShotCount> minutes);
  std::int64_t total(std::string_view box);
  std::int64_t between(std::string_view box, UtcTime from, UtcTime before);  // to the minute

 private:
  void write(std::span<const ShotCount> counts, const std::string& where_one_stands);

  Database& database_;
};

}  // namespace boxfettle
