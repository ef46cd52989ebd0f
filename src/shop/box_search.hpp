// Finding a box by any word, label or what it makes, while somebody types.
#pragma once

#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "shop/box_state.hpp"

namespace boxfettle {

// Holds the words of every box; built once, kept current box by box. Searching 100,000 boxes takes a few
// milliseconds (bench/shop).
class BoxIndex {
 public:
  void put(const BoxState& box);  // replaces what was known of it

  // Numbers of the boxes that have every word of `wanted` somewhere in their number, name, what they make,
  // process, material, place, or the labels and names of their loose pieces; capitals do not matter. Whole
  // number or label first, then those whose number begins with the words, then the rest; by number among
  // equals.
  std::vector<std::string> find(std::string_view wanted, std::size_t at_most = 50) const;

 private:
  struct Line {
    std::string box;
    std::string words;  // all of it, small letters, parted by line ends
  };
  std::vector<Line> lines_;  // by number
};

}  // namespace boxfettle
