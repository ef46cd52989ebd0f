// Two types of one name in one namespace are one type to the linker: it keeps the code made for either, and
// the other's objects are read wrongly. The compiler cannot see that across rooms, so the headers are read
// here.
#include <gmock/gmock.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

std::vector<std::string> doubled_names(const fs::path& src) {
  const std::regex opens("^namespace ([A-Za-z_:]+) \\{.*");
  const std::regex defines("^(?:struct|class|enum class) ([A-Za-z_]+)(?: final)?(?: ?:[^;]*)? ?\\{.*");
  std::map<std::string, std::string> first_at;
  std::vector<std::string> doubled;
  for (const auto& item : fs::recursive_directory_iterator(src)) {
    if (item.path().extension() != ".hpp") continue;
    std::ifstream in(item.path());
    std::string space;
    for (std::string line; std::getline(in, line);) {
      std::smatch found;
      if (std::regex_match(line, found, opens)) space = found[1];
      if (!std::regex_match(line, found, defines)) continue;
      const std::string name = space + "::" + found[1].str();
      const auto [known, fresh] = first_at.emplace(name, item.path().string());
      if (!fresh) doubled.push_back(name + " in " + known->second + " and " + item.path().string());
    }
  }
  return doubled;
}

TEST(House, OneNameMeansOneThing) {
  EXPECT_THAT(doubled_names(fs::path(BOXFETTLE_SOURCE_DIR) / "src"), testing::IsEmpty());
}

TEST(House, ANameGivenTwiceIsToldWithBothFiles) {
  const fs::path src = fs::temp_directory_path() / ("boxfettle_names_" + std::to_string(::getpid()));
  fs::create_directories(src);
  std::ofstream(src / "one.hpp") << "namespace boxfettle {\nstruct Dowel {\n};\n}\n";
  std::ofstream(src / "two.hpp") << "namespace boxfettle {\nclass Dowel {\n};\n}\n";
  std::ofstream(src / "three.hpp") << "namespace boxfettle::demo {\nclass Dowel {\n};\n}\n";
  EXPECT_THAT(doubled_names(src), testing::ElementsAre(testing::AllOf(testing::HasSubstr("boxfettle::Dowel"),
                                                                      testing::HasSubstr("one.hpp"),
                                                                      testing::HasSubstr("two.hpp"))));
  fs::remove_all(src);
}

}  // namespace
