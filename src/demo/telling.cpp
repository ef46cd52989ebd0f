#include "demo/telling.hpp"

#include <algorithm>

namespace boxfettle::demo {

void put_in_order(Story& story) {
  std::stable_sort(story.tellings.begin(), story.tellings.end(),
                   [](const Telling& a, const Telling& b) { return a.at < b.at; });
}

}  // namespace boxfettle::demo
