// Everything a shop keeps, in one data directory:
//   DIR/boxfettle.sqlite   logbook, people, jobs, readings, shot tallies, measurements (write-ahead
//                          log, every commit synced)
//   DIR/files/             scans, designs and box files by content hash
// One Store serves all threads of a program, and several programs may share a directory; see database.hpp.
#pragma once

#include <filesystem>

#include "store/database.hpp"
#include "store/job_queue.hpp"
#include "store/people.hpp"
#include "store/shot_tallies.hpp"
#include "store/stored_files.hpp"
#include "store/stored_logbook.hpp"
#include "store/stored_measurements.hpp"
#include "store/stored_readings.hpp"

namespace boxfettle {

struct StoreSettings {
  PassphraseCost passphrase_cost;
};

class Store {
 public:
  // Creates the directory and an empty record when there is none. Throws InputError when the directory cannot
  // be made, its database is something else, damaged beyond opening, or was written by a newer program.
  explicit Store(const std::filesystem::path& dir, const StoreSettings& settings = {});

 private:
  Database database_;

 public:
  StoredLogbook logbook;
  People people;
  JobQueue jobs;
  StoredReadings readings;
  ShotTallies shots;
  StoredMeasurements measurements;
  StoredFiles files;
};

}  // namespace boxfettle
