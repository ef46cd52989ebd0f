// The house's arrows: a room may include only the rooms it is said to use. Read from the include lines
// themselves.
#include <gmock/gmock.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;
using Rooms = std::map<std::string, std::set<std::string>>;

// docs/decisions/0001-the-house.md draws the same arrows for people.
const Rooms& may_use() {
  static const Rooms rooms{
      {"input", {}},
      {"geometry", {"input"}},
      {"cad", {"input", "geometry"}},
      {"statistics", {"input"}},
      {"flow", {"geometry"}},
      {"corebox", {"input", "geometry"}},
      {"reading", {"input", "geometry", "statistics", "corebox"}},
      {"closing", {"input", "statistics", "flow", "corebox", "geometry"}},
      {"venting", {"input", "flow", "corebox", "geometry"}},
      {"shop", {"input", "statistics", "corebox"}},
      {"planning", {"shop"}},
      {"store", {"input", "shop"}},
      {"paper", {"input", "geometry", "statistics", "corebox", "reading", "closing", "venting", "shop"}},
      {"demo", {"input", "geometry", "corebox", "shop", "store"}},
      {"service",
       {"input", "geometry", "statistics", "corebox", "reading", "closing", "venting", "shop", "planning",
        "store", "paper"}},
      {"app",
       {"input", "geometry", "cad", "statistics", "flow", "corebox", "reading", "closing", "venting", "shop",
        "store", "paper", "demo", "service"}},
  };
  return rooms;
}

// A test may fetch the invented cores: they are what most rooms are tried on.
bool is_test(const fs::path& file) {
  return file.stem().string().ends_with("_test");
}

std::vector<std::string> included(const fs::path& file) {
  std::vector<std::string> paths;
  std::ifstream in(file);
  for (std::string line; std::getline(in, line);) {
    const auto start = line.find_first_not_of(" \t");
    if (start == std::string::npos || line.compare(start, 8, "#include") != 0) continue;
    const auto open = line.find('"');
    const auto close = line.rfind('"');
    if (open != std::string::npos && close > open) paths.push_back(line.substr(open + 1, close - open - 1));
  }
  return paths;
}

std::vector<std::string> broken_arrows(const fs::path& src, const Rooms& rooms) {
  std::vector<std::string> broken;
  for (const auto& item : fs::recursive_directory_iterator(src)) {
    const fs::path& file = item.path();
    if (file.extension() != ".hpp" && file.extension() != ".cpp") continue;
    const std::string room = fs::relative(file, src).begin()->string();
    const auto arrows = rooms.find(room);
    if (arrows == rooms.end()) {
      broken.push_back(file.string() + " stands in no known room");
      continue;
    }
    for (const std::string& path : included(file)) {
      const std::string other = fs::path(path).begin()->string();
      const bool allowed =
          other == room || arrows->second.contains(other) || (is_test(file) && other == "demo");
      if (!allowed)
        broken.push_back(file.string() + " includes " + path + ": " + room + " may not use " + other);
    }
  }
  return broken;
}

TEST(House, EveryIncludeFollowsTheArrows) {
  EXPECT_THAT(broken_arrows(fs::path(BOXFETTLE_SOURCE_DIR) / "src", may_use()), testing::IsEmpty());
}

TEST(House, AnIncludeAgainstTheArrowsIsToldWithItsFile) {
  const fs::path src = fs::temp_directory_path() / ("boxfettle_house_" + std::to_string(::getpid()));
  fs::create_directories(src / "geometry");
  std::ofstream(src / "geometry" / "wrong.hpp") << "  #include \"shop/verdict.hpp\"\n";
  EXPECT_THAT(broken_arrows(src, may_use()),
              testing::ElementsAre(testing::AllOf(testing::HasSubstr("geometry/wrong.hpp"),
                                                  testing::HasSubstr("geometry may not use shop"))));
  fs::remove_all(src);
}

TEST(House, NoArrowLeadsBack) {
  // Rooms are listed lowest first in src/CMakeLists.txt; whoever is used must stand higher up in that list.
  std::vector<std::string> order;
  std::ifstream in(fs::path(BOXFETTLE_SOURCE_DIR) / "src" / "CMakeLists.txt");
  for (std::string line; std::getline(in, line);)
    if (line.starts_with("add_subdirectory(")) order.push_back(line.substr(17, line.find(')') - 17));
  ASSERT_EQ(order.size(), may_use().size());
  std::set<std::string> seen;
  for (const std::string& room : order) {
    for (const std::string& used : may_use().at(room))
      EXPECT_TRUE(seen.contains(used)) << room << " uses " << used;
    seen.insert(room);
  }
}

}  // namespace
