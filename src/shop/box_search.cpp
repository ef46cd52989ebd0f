#include "shop/box_search.hpp"

#include <algorithm>
#include <array>

namespace boxfettle {
namespace {

// ASCII letters only: names in other alphabets are matched as they are written.
std::string small(std::string_view text) {
  std::string all(text);
  for (char& c : all)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return all;
}

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  std::string word;
  for (const char c : small(text) + " ") {
    if (c != ' ' && c != '\t' && c != '\n') {
      word += c;
    } else if (!word.empty()) {
      words.push_back(std::move(word));
      word.clear();
    }
  }
  return words;
}

bool has_label(const std::string& words, const std::string& label) {
  for (std::size_t at = words.find(label); at != std::string::npos; at = words.find(label, at + 1)) {
    const bool begins = at == 0 || words[at - 1] == '\n';
    const bool ends = at + label.size() == words.size() || words[at + label.size()] == '\n';
    if (begins && ends) return true;
  }
  return false;
}

}  // namespace

void BoxIndex::put(const BoxState& box) {
  if (!box.registered) return;
  const BoxRegistered& known = *box.registered;
  std::string words = box.box + "\n" + known.name + "\n" + known.makes + "\n" + known.process + "\n" +
                      known.material + "\n" + box.place.text;
  for (const auto& [label, piece] : box.kit) words += "\n" + label + "\n" + piece.registered.name;
  const auto at = std::lower_bound(lines_.begin(), lines_.end(), box.box,
                                   [](const Line& line, const std::string& id) { return line.box < id; });
  if (at != lines_.end() && at->box == box.box)
    at->words = small(words);
  else
    lines_.insert(at, {box.box, small(words)});
}

std::vector<std::string> BoxIndex::find(std::string_view wanted, std::size_t at_most) const {
  const std::vector<std::string> words = words_of(wanted);
  const std::string whole = small(wanted);
  std::array<std::vector<std::string>, 3> ranked;
  for (const Line& line : lines_) {
    const bool all = std::all_of(words.begin(), words.end(), [&](const std::string& word) {
      return line.words.find(word) != std::string::npos;
    });
    if (!all) continue;
    const std::size_t rank = has_label(line.words, whole) ? 0 : line.words.starts_with(whole) ? 1 : 2;
    if (ranked[rank].size() < at_most) ranked[rank].push_back(line.box);
  }
  std::vector<std::string> found;
  for (auto& boxes : ranked)
    for (std::string& box : boxes)
      if (found.size() < at_most) found.push_back(std::move(box));
  return found;
}

}  // namespace boxfettle
