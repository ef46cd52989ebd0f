// How fast the logbook is folded into the state of its boxes, verdicts are given, and a box is found.
//
//   build/bench/bench/bench_shop [boxes to find among, default 100,000]
//
// One core, on the demo shop's two years: its boxes, runs, inspections and all. Folding starts from nothing
// each time and is compared with what was kept before anything is timed.
#include <cstdio>
#include <cstdlib>
#include <map>
#include <string>
#include <vector>

#include "demo/box_story.hpp"
#include "demo/shop_boxes.hpp"
#include "demo/shop_entries.hpp"
#include "demo/shop_story.hpp"
#include "shop/box_search.hpp"
#include "shop/box_state.hpp"
#include "shop/canonical_text.hpp"
#include "shop/logbook.hpp"
#include "shop/verdict.hpp"
#include "stopwatch.hpp"

namespace boxfettle::bench {
namespace {

const UtcTime now = UtcTime::parse("2026-11-25T10:30:00Z");

[[noreturn]] void fail(const char* what) {
  std::fprintf(stderr, "%s\n", what);
  std::exit(1);
}

std::vector<Entry> demo_logbook() {
  std::vector<demo::Story> stories{demo::shop_story(now)};
  for (const demo::ShopBox& box : demo::shop_boxes()) {
    BoxRegistered registration;
    registration.name = box.name;
    registration.makes = box.makes;
    registration.process = name(box.process);
    registration.material = name(box.material);
    registration.home_place = box.home_place;
    stories.push_back(demo::box_story(box, registration, shipped_catalogue(), now));
  }
  return demo::entries_of(stories, shipped_catalogue());
}

using Boxes = std::map<std::string, BoxState, std::less<>>;

Boxes folded(const std::vector<Entry>& logbook) {
  Boxes boxes;
  for (const Entry& entry : logbook)
    if (entry.box != whole_shop) fold_into(boxes[entry.box], entry);
  return boxes;
}

void fold_all(const std::vector<Entry>& logbook) {
  std::size_t kept = 0;
  const double seconds = median_seconds([&] { kept += folded(logbook).size(); });
  if (kept == 0) fail("nothing was folded");
  const auto entries = static_cast<double>(logbook.size());
  std::printf("Folding %zu entries of %zu boxes from nothing: %.2f ms, %.2f million entries/s\n",
              logbook.size(), folded(logbook).size(), 1e3 * seconds, entries / seconds / 1e6);
  const double checking = median_seconds([&] {
    if (!verify(logbook).whole) fail("the chain is broken");
  });
  std::printf("Writing them down again and verifying the chain: %.1f ms, %.0f thousand entries/s\n",
              1e3 * checking, entries / checking / 1e3);
}

void give_verdicts(const Boxes& boxes) {
  constexpr int wanted = 1000;
  std::size_t reasons = 0;
  const double seconds = median_seconds([&] {
    for (int given = 0; given < wanted;)
      for (auto box = boxes.begin(); box != boxes.end() && given < wanted; ++box, ++given)
        reasons += verdict(box->second, shipped_catalogue(), now).reasons.size();
  });
  if (reasons == 0) fail("no box had a reason");
  std::printf("Verdict of 1,000 boxes: %.2f ms\n", 1e3 * seconds);
}

void find_a_box(const Boxes& boxes, std::size_t count) {
  BoxIndex index;
  auto like = boxes.begin();
  for (std::size_t i = 0; i < count; ++i) {
    BoxState box = like->second;
    box.box = "TM-" + std::to_string(100000 + i);
    index.put(box);
    if (++like == boxes.end()) like = boxes.begin();
  }
  const std::string last = "TM-" + std::to_string(100000 + count - 1);
  if (index.find(last, 50) != std::vector{last}) fail("the box is not found");
  for (const std::string& words : {last, std::string("volute"), std::string("core rack c bay"),
                                   std::string("9 jacket barrel"), std::string("nothing such")}) {
    std::size_t found = 0;
    const double seconds = median_seconds([&] { found = index.find(words, 50).size(); });
    std::printf("Finding '%s' among %zu boxes: %.2f ms (%zu shown)\n", words.c_str(), count, 1e3 * seconds,
                found);
  }
}

}  // namespace
}  // namespace boxfettle::bench

int main(int count, char** words) {
  using namespace boxfettle::bench;
  const std::size_t boxes = count > 1 ? std::strtoul(words[1], nullptr, 10) : 100'000;
  std::printf("%s, load %s, medians of %d\n", processor().c_str(), load_average().c_str(), repeats);
  const std::vector<boxfettle::Entry> logbook = demo_logbook();
  const Boxes kept = folded(logbook);
  for (const auto& [id, box] : kept)
    if (boxfettle::replay(id, logbook) != box) fail("folding again gives another state");
  fold_all(logbook);
  give_verdicts(kept);
  find_a_box(kept, boxes);
}
