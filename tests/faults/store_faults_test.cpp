// What the record does when the program is killed, the disk fills up, or someone writes into its file.
#include <gmock/gmock.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <random>
#include <thread>

#include "input/input_error.hpp"
#include "store/scratch_dir.hpp"
#include "store/store.hpp"
#include "store/store_error.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");

std::vector<Entry> three_notes(const Head& head, const std::string& request) {
  const std::string long_note(1500, 'n');
  return append(head, {monday,
                       "Asha",
                       request,
                       "TM-0412",
                       {NoteWritten{long_note}, NoteWritten{long_note}, NoteWritten{long_note}}});
}

// Writes requests of three entries each until it is killed; tells the head after each through the pipe.
[[noreturn]] void write_until_killed(const fs::path& file, int pipe) {
  Database database(file);
  StoredLogbook logbook(database);
  for (;;) {
    const Head head = logbook.head();
    logbook.append(three_notes(head, "request-" + std::to_string(head.seq)));
    const std::int64_t told = head.seq + 3;
    if (::write(pipe, &told, sizeof told) != sizeof told) ::_exit(1);
  }
}

std::int64_t last_told(int pipe) {
  std::int64_t last = 0, told = 0;
  while (::read(pipe, &told, sizeof told) == sizeof told) last = told;
  return last;
}

// Runs `write` in a process of its own and kills it somewhere in the middle. What it told last.
template <typename Write>
std::int64_t told_until_killed(const Write& write, std::mt19937& random) {
  int ends[2];
  if (::pipe(ends) != 0) return 0;
  const pid_t child = ::fork();
  if (child == 0) write(ends[1]);
  ::close(ends[1]);
  std::this_thread::sleep_for(std::chrono::milliseconds{20 + random() % 100});
  ::kill(child, SIGKILL);
  ::waitpid(child, nullptr, 0);
  const std::int64_t told = last_told(ends[0]);
  ::close(ends[0]);
  return told;
}

TEST(StoreFaults, AProgramKilledInTheMiddleLeavesAWholeChainWithEverythingItConfirmed) {
  const ScratchDir dir;
  const fs::path file = dir.path() / "record.sqlite";
  std::mt19937 random(20261123);
  std::int64_t confirmed = 0;
  for (int round = 0; round < 12; ++round) {
    confirmed = std::max(
        confirmed, told_until_killed([&](int pipe) { write_until_killed(file, pipe); }, random));

    Database database(file);
    StoredLogbook logbook(database);
    const ChainCheck check = logbook.verify();
    EXPECT_TRUE(check.whole) << check.why;
    EXPECT_EQ(check.entries % 3, 0) << "a request is written whole or not at all";
    EXPECT_GE(check.entries, confirmed);
  }
  EXPECT_GT(confirmed, 0);
}

TEST(StoreFaults, AFullDiskIsToldAndLosesNothing) {
  const ScratchDir dir;
  Database database(dir.path() / "record.sqlite");
  StoredLogbook logbook(database);
  database.access().run("PRAGMA max_page_count = 60");
  std::int64_t confirmed = 0;
  try {
    for (int i = 0; i < 1000; ++i) {
      logbook.append(three_notes(logbook.head(), "request-" + std::to_string(i)));
      confirmed = logbook.head().seq;
    }
    FAIL() << "the disk never filled up";
  } catch (const StoreError& full) {
    EXPECT_EQ(full.fault(), StoreFault::full);
    EXPECT_THAT(full.what(), testing::HasSubstr("make room"));
  }
  EXPECT_GT(confirmed, 0);
  EXPECT_EQ(logbook.head().seq, confirmed);
  EXPECT_TRUE(logbook.verify().whole);

  database.access().run("PRAGMA max_page_count = 100000");
  EXPECT_EQ(logbook.append(three_notes(logbook.head(), "request-later")).how, Appended::How::written);
  EXPECT_TRUE(logbook.verify().whole);
}

Measurement weighed(std::int64_t number) {
  return {.request = "weighed-" + std::to_string(number),
          .box = "TM-0412",
          .characteristic = "core weight",
          .unit = "g",
          .at = monday + std::chrono::minutes(number),
          .arrived = monday + std::chrono::minutes(number),
          .who = "Asha",
          .value = 400 + 0.001 * static_cast<double>(number),
          .run = std::string(60, 'r')};
}

Strike struck(std::int64_t number) {
  return {.request = "strike-" + std::to_string(number),
          .box = "TM-0412",
          .characteristic = "core weight",
          .number = number,
          .at = monday + std::chrono::hours(9000),
          .person = {"Asha", Role::operator_},
          .why = "weighed with the tongs"};
}

bool every_third(std::int64_t number) {
  return number % 3 == 0;
}

std::int64_t weights_kept(StoredMeasurements& measurements) {
  const auto told = measurements.characteristic("TM-0412", "core weight");
  return told ? told->values : 0;
}

// Weighs core after core, strikes every third out, and tells the number once both are confirmed.
[[noreturn]] void weigh_until_killed(const fs::path& file, int pipe) {
  Database database(file);
  StoredMeasurements measurements(database);
  for (std::int64_t number = weights_kept(measurements) + 1;; ++number) {
    measurements.add(weighed(number));
    if (every_third(number)) measurements.strike(struck(number));
    if (::write(pipe, &number, sizeof number) != sizeof number) ::_exit(1);
  }
}

// Each value is there whole, as it was weighed, numbered without gaps; those told of are there with their
// strike.
void expect_whole(StoredMeasurements& measurements, std::int64_t confirmed) {
  const std::int64_t kept = weights_kept(measurements);
  EXPECT_GE(kept, confirmed);
  const auto all = measurements.newest("TM-0412", "core weight", 1'000'000);
  ASSERT_EQ(static_cast<std::int64_t>(all.size()), kept);
  for (std::int64_t number = 1; number <= kept; ++number) {
    const NumberedMeasurement& one = all[static_cast<std::size_t>(number - 1)];
    ASSERT_EQ(one.number, number);
    ASSERT_EQ(one.measurement.value, weighed(number).value);
    ASSERT_EQ(one.measurement.arrived, weighed(number).arrived);
    // The last one may have been killed between the value and its strike.
    if (number <= confirmed) {
      ASSERT_EQ(one.struck.has_value(), every_third(number)) << number;
    }
  }
}

TEST(StoreFaults, AProgramKilledWhileWeighingLosesNoWeightItConfirmedAndNoStrike) {
  const ScratchDir dir;
  const fs::path file = dir.path() / "record.sqlite";
  std::mt19937 random(412);
  std::int64_t confirmed = 0;
  for (int round = 0; round < 12; ++round) {
    confirmed = std::max(
        confirmed, told_until_killed([&](int pipe) { weigh_until_killed(file, pipe); }, random));
    Database database(file);
    StoredMeasurements measurements(database);
    expect_whole(measurements, confirmed);
    // What was killed on its way to the sender is sent again by it.
    const std::int64_t last = weights_kept(measurements);
    if (last > 0) {
      EXPECT_EQ(std::get<NumberedMeasurement>(measurements.add(weighed(last))).number, last);
      if (every_third(last)) measurements.strike(struck(last));
    }
    confirmed = last;
  }
  EXPECT_GT(confirmed, 0);
}

TEST(StoreFaults, ADiskThatFillsUpWhileWeighingKeepsWhatWasConfirmed) {
  const ScratchDir dir;
  Database database(dir.path() / "record.sqlite");
  StoredMeasurements measurements(database);
  database.access().run("PRAGMA max_page_count = 60");
  std::int64_t confirmed = 0;
  try {
    for (std::int64_t number = 1; number < 10000; ++number) {
      measurements.add(weighed(number));
      if (every_third(number)) measurements.strike(struck(number));
      confirmed = number;
    }
    FAIL() << "the disk never filled up";
  } catch (const StoreError& full) {
    EXPECT_EQ(full.fault(), StoreFault::full);
  }
  EXPECT_GT(confirmed, 0);
  expect_whole(measurements, confirmed);

  database.access().run("PRAGMA max_page_count = 100000");
  const std::int64_t next = confirmed + 1;
  EXPECT_EQ(std::get<NumberedMeasurement>(measurements.add(weighed(next))).number, next)
      << "sent again, it is kept once, whether or not it was written before the strike found no room";
  if (every_third(next)) measurements.strike(struck(next));
  expect_whole(measurements, next);
}

TEST(StoreFaults, AListOfWeightsThatFindsNoRoomLeavesNone) {
  const ScratchDir dir;
  Database database(dir.path() / "record.sqlite");
  StoredMeasurements measurements(database);
  std::vector<Measurement> list;
  for (std::int64_t number = 1; number < 10000; ++number) list.push_back(weighed(number));
  database.access().run("PRAGMA max_page_count = 60");
  EXPECT_THROW(measurements.add(list), StoreError);
  EXPECT_EQ(weights_kept(measurements), 0);
}

TEST(StoreFaults, BytesChangedInTheFileAreFoundAndNeverCrash) {
  const ScratchDir dir;
  const fs::path file = dir.path() / "record.sqlite";
  std::int64_t entries = 0;
  {
    Database database(file);
    StoredLogbook logbook(database);
    for (int i = 0; i < 10; ++i) logbook.append(three_notes(logbook.head(), "request-" + std::to_string(i)));
    entries = logbook.head().seq;
  }
  std::string good;
  {
    std::ifstream in(file, std::ios::binary);
    good.assign(std::istreambuf_iterator<char>(in), {});
  }
  std::mt19937 random(412);
  int found = 0;
  for (int i = 0; i < 200; ++i) {
    std::string bad = good;
    const std::size_t at = random() % bad.size();
    bad[at] = static_cast<char>(bad[at] ^ static_cast<char>(1 + random() % 255));
    std::ofstream(file, std::ios::binary | std::ios::trunc) << bad;
    try {
      Database database(file);
      StoredLogbook logbook(database);
      const ChainCheck check = logbook.verify();
      // Unused bytes, an index or another table may change without any entry changing: then all is still
      // there.
      found += check.whole ? 0 : 1;
      if (check.whole) {
        EXPECT_EQ(static_cast<std::int64_t>(logbook.all().size()), entries);
      }
    } catch (const InputError&) {
      ++found;
    } catch (const StoreError&) {
      ++found;
    }
    fs::remove(dir.path() / "record.sqlite-wal");
    fs::remove(dir.path() / "record.sqlite-shm");
  }
  EXPECT_GT(found, 50) << "most of the file is entries";
}

TEST(StoreFaults, WhatIsNoRecordIsRefusedWithItsName) {
  const ScratchDir dir;
  std::ofstream(dir.path() / "boxfettle.sqlite") << std::string(5000, 'x');
  try {
    Store store(dir.path());
    FAIL() << "opened";
  } catch (const InputError& refused) {
    EXPECT_THAT(refused.what(), testing::HasSubstr("boxfettle.sqlite"));
  }
}

TEST(StoreFaults, ADatabaseOfAnotherProgramIsLeftAlone) {
  const ScratchDir dir;
  const fs::path file = dir.path() / "boxfettle.sqlite";
  {
    Database database(file);
    database.access().run("PRAGMA application_id = 1");
  }
  EXPECT_THROW(Database{file}, InputError);
}

TEST(StoreFaults, ARecordOfANewerProgramIsRefused) {
  const ScratchDir dir;
  const fs::path file = dir.path() / "boxfettle.sqlite";
  {
    Database database(file);
    database.access().run("PRAGMA user_version = 999");
  }
  try {
    Database database(file);
    FAIL() << "opened";
  } catch (const InputError& refused) {
    EXPECT_THAT(refused.what(), testing::HasSubstr("newer program"));
  }
}

TEST(StoreFaults, ADirectoryThatCannotBeMadeIsRefused) {
  EXPECT_THROW(Store("/proc/no/such/place"), InputError);
}

}  // namespace
}  // namespace boxfettle
