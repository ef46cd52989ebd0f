#include "input/nearest_name.hpp"

#include <algorithm>
#include <numeric>
#include <vector>

namespace boxfettle {
namespace {

// Levenshtein's distance: letters put in, left out or exchanged.
std::size_t slips(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t diagonal = row[0]++;
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t exchanged = diagonal + (a[i] == b[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({exchanged, row[j] + 1, row[j + 1] + 1});
    }
  }
  return row.back();
}

}  // namespace

std::string_view nearest_name(std::string_view text, std::span<const std::string_view> known) {
  std::string_view nearest;
  // Beyond a third of its letters a name is another name. A long text is no slip, and not worth comparing.
  if (text.size() > 64) return nearest;
  // A unit left off: pin where pin_mm is known.
  for (const std::string_view name : known)
    if (name.size() > text.size() && name.starts_with(text) && name[text.size()] == '_' && !text.empty())
      return name;
  std::size_t fewest = text.size() / 3 + 2;
  for (const std::string_view name : known) {
    const std::size_t found = slips(text, name);
    if (found < fewest) {
      fewest = found;
      nearest = name;
    }
  }
  return nearest;
}

std::string name_hint(std::string_view text, std::span<const std::string_view> known) {
  if (const std::string_view near = nearest_name(text, known); !near.empty())
    return "did you mean '" + std::string(near) + "'?";
  std::string hint = "known here: ";
  for (const std::string_view name : known) {
    if (name != known.front()) hint += ", ";
    hint += name;
  }
  return hint;
}

}  // namespace boxfettle
