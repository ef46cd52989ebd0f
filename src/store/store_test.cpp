#include "store/store.hpp"

#include <gmock/gmock.h>

#include <fstream>
#include <sstream>

#include "input/input_error.hpp"
#include "store/scratch_dir.hpp"
#include "store/store_error.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");
const StoreSettings quick{PassphraseCost{1, 8u << 10}};

std::string bytes_of(const fs::path& path) {
  std::ostringstream out;
  out << std::ifstream(path, std::ios::binary).rdbuf();
  return out.str();
}

std::span<const std::byte> as_bytes(std::string_view text) {
  return std::as_bytes(std::span(text));
}

TEST(Store, ANewDataDirectoryIsMadeAndOpensAgain) {
  const ScratchDir dir;
  const fs::path data = dir.path() / "shop" / "data";
  {
    Store store(data, quick);
    store.shots.add("TM-0412", "Station 1", monday, 12);
  }
  Store again(data, quick);
  EXPECT_EQ(again.shots.total("TM-0412"), 12);
}

TEST(Store, ShotsOfAMinuteAddUp) {
  const ScratchDir dir;
  Store store(dir.path(), quick);
  const auto s = [](int n) { return std::chrono::seconds{n}; };
  store.shots.add("TM-0412", "Station 1", monday, 2);
  store.shots.add("TM-0412", "Station 1", monday + s(59), 3);
  store.shots.add("TM-0412", "Station 1", monday + s(60), 4);
  store.shots.add("TM-0412", "Station 2", monday, 5);
  store.shots.add("TM-0001", "Station 1", monday, 6);
  EXPECT_EQ(store.shots.total("TM-0412"), 14);
  EXPECT_EQ(store.shots.between("TM-0412", monday, monday + s(60)), 10);
  EXPECT_EQ(store.shots.total("TM-9999"), 0);
}

TEST(Store, AMinuteThatACounterTellsAgainIsNotCountedTwice) {
  const ScratchDir dir;
  using s = std::chrono::seconds;
  Store store(dir.path());
  const ShotCount minute{monday, "TM-0412", "Station 1", 9}, next{monday + s(60), "TM-0412", "Station 1", 8};
  store.shots.tell(std::vector{minute, next});
  store.shots.tell(std::vector{next, minute});
  EXPECT_EQ(store.shots.total("TM-0412"), 17);
  ShotCount half = minute;
  half.shots = 4;  // sent before the minute was over, arriving after it
  store.shots.tell(std::vector{half});
  EXPECT_EQ(store.shots.total("TM-0412"), 17);
}

TEST(Store, AReadingIsKeptAsItIs) {
  const ScratchDir dir;
  Store store(dir.path(), quick);
  const SqlBlob surface{std::byte{'B'}, std::byte{0}, std::byte{255}};
  store.readings.put({"r1", "TM-0412", "{\"verdict\":\"fit\"}", surface, ""});
  EXPECT_EQ(store.readings.json("r1"), "{\"verdict\":\"fit\"}");
  EXPECT_EQ(store.readings.surface("r1"), surface);
  EXPECT_EQ(store.readings.section("r1"), "");
  EXPECT_FALSE(store.readings.json("r2"));
  store.readings.put({"r1", "TM-0412", "{}", {}, "[]"});
  EXPECT_EQ(store.readings.json("r1"), "{}");
  EXPECT_EQ(store.readings.surface("r1"), SqlBlob{});
}

TEST(Store, OfABoxsStudiesTheNewestStayAndTheOneNamed) {
  const ScratchDir dir;
  Store store(dir.path(), quick);
  const auto put = [&](const char* id, const char* box) { store.readings.put({id, box, "{}", {}, ""}); };
  put("a-scan", "TM-0412");
  put("air-of-another-box", "TM-0500");
  for (const char* id : {"air-found", "air-z", "air-b", "air-c", "air-a"}) put(id, "TM-0412");
  put("air-z", "TM-0412");  // written again, it is the newest
  store.readings.keep_newest("TM-0412", "air-", 2, "air-found");
  for (const char* id : {"a-scan", "air-of-another-box", "air-found", "air-a", "air-z"})
    EXPECT_TRUE(store.readings.json(id)) << id;
  for (const char* id : {"air-b", "air-c"}) EXPECT_FALSE(store.readings.json(id)) << id;
}

TEST(Store, AFileIsKeptOnceUnderItsContent) {
  const ScratchDir dir;
  Store store(dir.path(), quick);
  const ContentHash hash = store.files.put(as_bytes("solid volute"));
  EXPECT_EQ(hash, content_hash("solid volute"));
  EXPECT_EQ(store.files.put(as_bytes("solid volute")), hash);
  const auto found = store.files.find(hash);
  ASSERT_TRUE(found);
  EXPECT_EQ(bytes_of(*found), "solid volute");
  EXPECT_EQ(found->parent_path().filename().string(), hash.hex().substr(0, 2));
  EXPECT_FALSE(store.files.find(content_hash("never seen")));
  EXPECT_TRUE(fs::is_empty(dir.path() / "files" / "incoming"));
}

TEST(Store, AnUploadIsTakenOverWithoutACopyLeft) {
  const ScratchDir dir;
  Store store(dir.path(), quick);
  const std::string scan(3'000'000, 'p');
  const fs::path uploaded = store.files.incoming();
  std::ofstream(uploaded, std::ios::binary) << scan;
  const ContentHash hash = store.files.adopt(uploaded);
  EXPECT_EQ(hash, content_hash(scan));
  EXPECT_FALSE(fs::exists(uploaded));
  EXPECT_EQ(bytes_of(*store.files.find(hash)), scan);
}

TEST(Store, AFileThatIsNotThereCannotBeTakenOver) {
  const ScratchDir dir;
  Store store(dir.path(), quick);
  EXPECT_THROW(store.files.adopt(dir.path() / "gone"), StoreError);
}

TEST(Store, OnlyUploadsOfYesterdayAreSweptOut) {
  const ScratchDir dir;
  const StoredFiles files(dir.path());
  const fs::path fresh = files.incoming(), old = files.incoming();
  std::ofstream(fresh) << "fresh";
  std::ofstream(old) << "old";
  fs::last_write_time(old, fs::file_time_type::clock::now() - std::chrono::hours{25});
  const StoredFiles again(dir.path());
  EXPECT_TRUE(fs::exists(fresh));
  EXPECT_FALSE(fs::exists(old));
}

}  // namespace
}  // namespace boxfettle
