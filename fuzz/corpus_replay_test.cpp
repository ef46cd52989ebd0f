// The kept corpus through each reader, in every build with tests: what the fuzzer once found stays found.
#include <gtest/gtest.h>

#include <filesystem>
#include <string>

#include "fuzz/readers.hpp"
#include "input/whole_file.hpp"

namespace boxfettle::fuzz {
namespace {

class Corpus : public testing::TestWithParam<Reader> {};

TEST_P(Corpus, EveryKeptFileIsReadOrRefused) {
  const std::filesystem::path corpus =
      std::filesystem::path(BOXFETTLE_SOURCE_DIR) / "fuzz/corpus" / GetParam().name;
  std::size_t files = 0;
  for (const auto& file : std::filesystem::directory_iterator(corpus)) {
    SCOPED_TRACE(file.path().string());
    const WholeFile whole(file.path());
    GetParam().attempt(whole.bytes());
    // Cut short anywhere near its end or its start, too.
    for (std::size_t cut = 1; cut < whole.bytes().size(); cut += 1 + cut / 4) {
      GetParam().attempt(whole.bytes().first(cut));
      GetParam().attempt(whole.bytes().first(whole.bytes().size() - cut));
    }
    ++files;
  }
  EXPECT_GE(files, 5u) << corpus;
}

INSTANTIATE_TEST_SUITE_P(OfReader, Corpus, testing::ValuesIn(readers),
                         [](const auto& info) { return std::string(info.param.name); });

}  // namespace
}  // namespace boxfettle::fuzz
