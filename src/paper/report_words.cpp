#include "paper/report_words.hpp"

#include <cctype>
#include <cstdio>

namespace boxfettle {
namespace {

std::string printed(const char* format, int decimals, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, decimals, value);
  std::string figure = text;
  // A figure that rounds to nothing has no sign.
  if (figure.find_first_of("123456789") == std::string::npos && !figure.empty() &&
      (figure[0] == '-' || figure[0] == '+'))
    figure.erase(0, 1);
  if (!figure.empty() && figure[0] == '-') figure.replace(0, 1, "\u2212");
  return figure;
}

}  // namespace

std::string signed_figure(double value, int decimals) {
  return printed("%+.*f", decimals, value);
}

std::string figure(double value, int decimals) {
  return printed("%.*f", decimals, value);
}

std::string thousands(std::size_t count) {
  std::string digits = std::to_string(count);
  for (std::size_t at = digits.size(); at > 3;) digits.insert(at -= 3, "\u00a0");
  return digits;
}

std::string capitals(std::string_view word) {
  std::string text;
  for (const char c : word)
    text += c == '-' ? ' ' : static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return text;
}

std::string_view meaning(ScanVerdict verdict) {
  switch (verdict) {
    case ScanVerdict::fit:
      return "Nothing found reaches its limit.";
    case ScanVerdict::watch:
      return "Something found nears its limit.";
    case ScanVerdict::hold:
      return "Something found is at its limit or beyond.";
    case ScanVerdict::cannot_tell:
      break;
  }
  return "The scan does not carry a verdict: see the notes.";
}

std::string depth_label(const Finding& finding) {
  if (finding.kind == FindingKind::unseen) return {};
  return finding.kind == FindingKind::mismatch ? figure(finding.depth_mm, 2)
                                               : signed_figure(finding.depth_mm, 2);
}

}  // namespace boxfettle
