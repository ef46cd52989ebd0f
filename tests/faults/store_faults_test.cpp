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

TEST(StoreFaults, AProgramKilledInTheMiddleLeavesAWholeChainWithEverythingItConfirmed) {
  const ScratchDir dir;
  const fs::path file = dir.path() / "record.sqlite";
  std::mt19937 random(20261123);
  std::int64_t confirmed = 0;
  for (int round = 0; round < 12; ++round) {
    int ends[2];
    ASSERT_EQ(::pipe(ends), 0);
    const pid_t child = ::fork();
    ASSERT_GE(child, 0);
    if (child == 0) write_until_killed(file, ends[1]);
    ::close(ends[1]);
    std::this_thread::sleep_for(std::chrono::milliseconds{20 + random() % 100});
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    confirmed = std::max(confirmed, last_told(ends[0]));
    ::close(ends[0]);

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
