#include "demo/demo_shop.hpp"

#include <gmock/gmock.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>
#include <variant>

#include "corebox/box_file.hpp"
#include "demo/core_weights.hpp"
#include "demo/known_scans.hpp"
#include "geometry/surface_file.hpp"
#include "input/input_error.hpp"
#include "input/whole_file.hpp"
#include "shop/box_state.hpp"
#include "store/store.hpp"

namespace boxfettle::demo {
namespace {

namespace fs = std::filesystem;

const UtcTime now = UtcTime::parse("2026-11-25T10:30:00Z");

class WrittenShop : public testing::Test {
 protected:
  void SetUp() override { fs::remove_all(dir_); }
  void TearDown() override { fs::remove_all(dir_); }
  const fs::path dir_ = fs::temp_directory_path() / ("boxfettle_demo_" + std::to_string(::getpid()));
};

TEST_F(WrittenShop, HoldsARecordThatOpensWithAWholeChain) {
  const WrittenDemo written = write_demo(dir_, now);
  Store store(dir_);
  const ChainCheck chain = store.logbook.verify();
  EXPECT_TRUE(chain.whole) << chain.why;
  EXPECT_EQ(chain.entries, static_cast<std::int64_t>(written.entries));
  EXPECT_EQ(store.logbook.boxes().size(), written.boxes + 1) << "and what is told of the shop as a whole";
  EXPECT_GT(store.shots.total("TM-0412"), 1000);
}

TEST_F(WrittenShop, HoldsTheWeightsOfAFewBoxesUpToNow) {
  write_demo(dir_, now);
  Store store(dir_);
  for (const MeasuredSeries& series : measured_series()) {
    const auto kept = store.measurements.of_box(series.box);
    ASSERT_EQ(kept.size(), 1u) << series.box;
    EXPECT_EQ(kept[0].name, series.characteristic);
    EXPECT_EQ(kept[0].values, series.values);
    EXPECT_LT(kept[0].last_at, now);
  }
}

TEST_F(WrittenShop, PeopleSignInWithThePassphraseKeptBesideTheRecord) {
  write_demo(dir_, now);
  const std::string sign_in(WholeFile(dir_ / "sign-in.txt").text());
  const std::string passphrase = sign_in.substr(12, sign_in.find('\n') - 12);
  Store store(dir_);
  EXPECT_TRUE(store.people.verify_passphrase("Leonor", passphrase));
  EXPECT_FALSE(store.people.verify_passphrase("Leonor", passphrase + "x"));
  EXPECT_EQ(fs::status(dir_ / "sign-in.txt").permissions(), fs::perms::owner_read | fs::perms::owner_write);
}

TEST_F(WrittenShop, KeepsTheDesignAndTheBoxFileThatARegistrationNames) {
  write_demo(dir_, now);
  Store store(dir_);
  for (const char* id : {"TM-0412", "TM-0427", "TM-0455"}) {
    const BoxState state = replay(id, store.logbook.of_box(id));
    ASSERT_TRUE(state.registered && state.registered->design && state.registered->box_file) << id;
    EXPECT_TRUE(store.files.find(*state.registered->design)) << id;
    const auto box_file = store.files.find(*state.registered->box_file);
    ASSERT_TRUE(box_file) << id;
    EXPECT_EQ(parse_box_file(WholeFile(*box_file).text(), "box file").id, id);
  }
}

TEST_F(WrittenShop, ScansHandedInWaitToBeReadWithTheirFilesKept) {
  write_demo(dir_, now);
  Store store(dir_);
  for (const KnownScan& scan : known_scans()) {
    if (!scan.handed_in) continue;
    const std::vector<Job> waiting = store.jobs.open_of_box(scan.box);
    const auto job = std::find_if(waiting.begin(), waiting.end(),
                                  [&](const Job& one) { return one.work.file_name == scan.file; });
    ASSERT_NE(job, waiting.end()) << scan.file;
    EXPECT_EQ(job->work.settings, "mm " + std::string(scan.of()));
    EXPECT_TRUE(store.files.find(job->work.file));
  }
}

TEST_F(WrittenShop, BoxFilesAndScansReadBack) {
  write_demo(dir_, now);
  for (const KnownScan& scan : known_scans()) {
    const CoreBox box = read_box_file(dir_ / "boxes" / (scan.box + ".toml"));
    EXPECT_GT(read_mesh_file(dir_ / "boxes" / box.design_file).triangles.size(), 100000u);
    const SurfaceFile points = read_surface_file(dir_ / "scans" / scan.file);
    ASSERT_TRUE(std::holds_alternative<PointCloud>(points.surface)) << scan.file;
    EXPECT_GT(std::get<PointCloud>(points.surface).size(), 100000u);
  }
}

TEST_F(WrittenShop, TheReadmeTellsEachScansFaults) {
  write_demo(dir_, now);
  const std::string readme(WholeFile(dir_ / "README.txt").text());
  for (const KnownScan& scan : known_scans()) {
    EXPECT_THAT(readme, testing::HasSubstr(scan.file));
    EXPECT_THAT(readme, testing::HasSubstr(in_words(scan)));
  }
  EXPECT_THAT(readme, testing::HasSubstr("upper half shifted by +0.26 mm along x and -0.19 mm along y"));
}

TEST_F(WrittenShop, AFolderWithSomethingInItIsLeftAlone) {
  fs::create_directories(dir_);
  std::ofstream(dir_ / "mine.txt") << "keep";
  EXPECT_THROW(write_demo(dir_, now), InputError);
  EXPECT_EQ(std::distance(fs::directory_iterator(dir_), fs::directory_iterator()), 1);
}

TEST_F(WrittenShop, AnEmptyFolderIsFilledAndNothingIsLeftBesideIt) {
  fs::create_directories(dir_);
  write_demo(dir_ / "", now);
  EXPECT_TRUE(fs::exists(dir_ / "README.txt"));
  EXPECT_FALSE(fs::exists(dir_.string() + ".in-the-making"));
}

TEST_F(WrittenShop, AFolderThatCannotBeMadeIsToldByName) {
  std::ofstream(dir_) << "a file";
  EXPECT_THROW(write_demo(dir_ / "shop", now), InputError);
  EXPECT_THROW(write_demo(dir_, now), InputError);
}

}  // namespace
}  // namespace boxfettle::demo
