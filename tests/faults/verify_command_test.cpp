// `boxfettle verify` on a record that someone has written into.
#include <gmock/gmock.h>
#include <sys/wait.h>

#include <cstdio>
#include <fstream>
#include <sstream>

#include "store/scratch_dir.hpp"
#include "store/stored_logbook.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

struct Said {
  int exit_code;
  std::string out;
};

Said said_by(const std::string& command) {
  std::FILE* pipe = ::popen((command + " 2>&1").c_str(), "r");
  if (pipe == nullptr) return {-1, ""};
  std::string out;
  for (int c; (c = std::fgetc(pipe)) != EOF;) out += static_cast<char>(c);
  return {WEXITSTATUS(::pclose(pipe)), out};
}

Said boxfettle_says(const std::string& words) {
  return said_by(std::string(BOXFETTLE_PROGRAM) + " " + words);
}

class Record : public testing::Test {
 protected:
  Record() {
    Database database(file);
    StoredLogbook logbook(database);
    logbook.append(
        append({}, {UtcTime::parse("2026-11-23T06:00:00Z"),
                    "Asha",
                    "request-1",
                    "TM-0412",
                    {NoteWritten{"one"}, NoteWritten{"Stift lose \xC3\xBC"}, NoteWritten{"three"}}}));
    head = logbook.head();
  }

  ScratchDir dir;
  fs::path file = dir.path() / "boxfettle.sqlite";
  Head head;
};

TEST_F(Record, AWholeLogbookIsSaidToBeSoWithItsHead) {
  const Said said = boxfettle_says("verify --data " + dir.path().string());
  EXPECT_EQ(said.exit_code, 0);
  EXPECT_THAT(said.out, testing::HasSubstr("whole: 3 entries"));
  EXPECT_THAT(said.out, testing::HasSubstr(head.hash.hex()));
}

TEST_F(Record, OneChangedWordIsFoundAtItsEntry) {
  {
    Database database(file);
    database.access().run("UPDATE entries SET text = replace(text, 'lose', 'fest') WHERE seq = 2");
  }
  const Said said = boxfettle_says("verify --json --data " + dir.path().string());
  EXPECT_EQ(said.exit_code, 5);
  EXPECT_THAT(said.out, testing::HasSubstr("\"broken_at\": 2"));
  EXPECT_THAT(said.out, testing::HasSubstr("\"whole\": false"));
}

TEST_F(Record, ADirectoryWithoutARecordIsBadInputAndStaysEmpty) {
  const fs::path empty = dir.path() / "empty";
  fs::create_directory(empty);
  EXPECT_EQ(boxfettle_says("verify --data " + empty.string()).exit_code, 3);
  EXPECT_TRUE(fs::is_empty(empty));
}

// docs/how/logbook.md: the recipe for checking by hand, run as it stands there.
TEST_F(Record, TheRecipeForCheckingByHandAgrees) {
  std::ifstream page(std::string(BOXFETTLE_SOURCE_DIR) + "/docs/how/logbook.md");
  std::stringstream text;
  text << page.rdbuf();
  std::string recipe = text.str();
  recipe = recipe.substr(recipe.find("```sh\n") + 6);
  recipe = recipe.substr(0, recipe.find("```"));
  for (std::size_t at; (at = recipe.find("DIR/")) != std::string::npos;)
    recipe.replace(at, 3, dir.path().string());
  recipe += "echo \"$previous\"\n";
  const fs::path script = dir.path() / "by_hand.sh";
  std::ofstream(script) << recipe;

  ASSERT_EQ(said_by("command -v sqlite3").exit_code, 0) << "./check installs the sqlite3 shell";
  EXPECT_EQ(said_by("sh " + script.string()).out, head.hash.hex() + "\n");
}

}  // namespace
}  // namespace boxfettle
