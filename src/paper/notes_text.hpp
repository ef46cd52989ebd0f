// The notes under every printed answer: what was assumed and what cannot be told.
#pragma once

#include <string>
#include <vector>

namespace boxfettle {

inline std::string notes_text(const std::vector<std::string>& notes) {
  std::string text;
  for (const std::string& note : notes) text += (text.empty() ? "\nNotes\n  - " : "  - ") + note + "\n";
  return text;
}

}  // namespace boxfettle
