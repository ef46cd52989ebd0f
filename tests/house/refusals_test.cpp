// Whoever is told no on the floor is told what to do next, in words of the floor. Walks every refusal that
// stands in the sources.
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

// What an instruction begins with.
const std::set<std::string> doings{"Ask",    "Change", "Check",    "Choose", "Close",   "Count", "Enter",
                                   "Export", "Find",   "Free",     "Give",   "Go",      "Have",  "Inspect",
                                   "Leave",  "Let",    "Load",     "Make",   "Measure", "Mend",  "Open",
                                   "Plan",   "Read",   "Register", "Say",    "Send",    "Set",   "Sign",
                                   "Take",   "Tell",   "Thin",     "Try",    "Use",     "Wait",  "Write"};

struct Told {
  std::string where;                    // file and what it says
  std::vector<std::string> what, mend;  // the literals of each; parts put in when it is told are left out
};

std::string text_of(const fs::path& file) {
  std::ostringstream text;
  text << std::ifstream(file).rdbuf();
  return text.str();
}

// The literals of each argument from `at`, just behind the opening bracket, to the closing one. Literals with
// nothing between them are one.
std::vector<std::vector<std::string>> arguments_from(const std::string& source, std::size_t at) {
  std::vector<std::vector<std::string>> arguments(1);
  int depth = 1;
  bool goes_on = false;
  for (; at < source.size(); ++at) {
    const char c = source[at];
    if (c == '"') {
      std::string literal;
      for (++at; source[at] != '"'; ++at) {
        if (source[at] == '\\') ++at;
        literal += source[at];
      }
      if (goes_on)
        arguments.back().back() += literal;
      else
        arguments.back().push_back(literal);
      goes_on = true;
      continue;
    }
    if (std::isspace(static_cast<unsigned char>(c)) == 0) goes_on = false;
    if (c == '(' || c == '{' || c == '[') ++depth;
    if (c == ')' || c == '}' || c == ']') --depth;
    if (depth == 0) return arguments;
    if (c == ',' && depth == 1) arguments.emplace_back();
  }
  return arguments;
}

void find_refusals(const fs::path& file, const std::string& opening, std::size_t first_argument,
                   std::vector<Told>& all) {
  const std::string source = text_of(file);
  for (std::size_t at = source.find(opening); at != std::string::npos; at = source.find(opening, at + 1)) {
    const auto arguments = arguments_from(source, at + opening.size());
    if (arguments.size() < first_argument + 2) continue;
    const auto& what = arguments[first_argument];
    const auto& mend = arguments[first_argument + 1];
    if (what.empty() && mend.empty()) continue;  // passes on what was told elsewhere
    all.push_back({file.filename().string() + ": " + (what.empty() ? "" : what.front()), what, mend});
  }
}

std::vector<Told> refusals_of_the_shop() {
  std::vector<Told> all;
  for (const fs::path& file : fs::directory_iterator(fs::path(BOXFETTLE_SOURCE_DIR) / "src/shop"))
    if (file.extension() == ".cpp" && !file.stem().string().ends_with("_test"))
      find_refusals(file, "Refusal{", 0, all);
  return all;
}

std::vector<Told> refusals_of_the_service() {
  std::vector<Told> all;
  for (const fs::path& file : fs::directory_iterator(fs::path(BOXFETTLE_SOURCE_DIR) / "src/service"))
    if (file.extension() == ".cpp" && !file.stem().string().ends_with("_test"))
      find_refusals(file, "problem_reply(", 1, all);
  return all;
}

std::string first_word(const std::string& sentence) {
  return sentence.substr(0, sentence.find_first_of(" .,:;"));
}

// A word from inside the program: snake_case, an enumeration's name, a number that stands for a meaning.
bool has_code(const std::string& text) {
  return text.find('_') != std::string::npos || text.find("::") != std::string::npos ||
         text.find('#') != std::string::npos || text.find("0x") != std::string::npos ||
         text.find("error ") != std::string::npos || text.find("Error") != std::string::npos;
}

TEST(Refusals, EachSaysWhatToDoNext) {
  const auto shop = refusals_of_the_shop(), service = refusals_of_the_service();
  EXPECT_GT(shop.size(), 45u) << "fewer refusals than the shop has: are they written in another way?";
  EXPECT_GT(service.size(), 25u);
  for (const auto* all : {&shop, &service})
    for (const Told& told : *all) {
      ASSERT_FALSE(told.mend.empty()) << told.where;
      EXPECT_TRUE(doings.contains(first_word(told.mend.front())))
          << told.where << " / " << told.mend.front() << " tells nobody what to do";
    }
}

TEST(Refusals, NoneSpeaksInCodes) {
  for (const auto& all : {refusals_of_the_shop(), refusals_of_the_service()})
    for (const Told& told : all)
      for (const auto* part : {&told.what, &told.mend})
        for (const std::string& text : *part) EXPECT_FALSE(has_code(text)) << told.where << " / " << text;
}

TEST(Refusals, TheShopsAreWholeSentences) {
  for (const Told& told : refusals_of_the_shop()) {
    const std::string& end = told.mend.back();
    EXPECT_TRUE(end.ends_with(".") || end.ends_with("?")) << told.where << " / " << end;
    if (told.what.empty()) continue;
    const char begin = told.what.front().front();
    EXPECT_TRUE(std::isupper(static_cast<unsigned char>(begin)) != 0 || begin == '\'' || begin == ' ')
        << told.where;
  }
}

}  // namespace
