#include "shop/sentence.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "shop/told.hpp"

namespace boxfettle {
namespace told_as {

std::string count_of(std::size_t count, const std::string& thing) {
  return std::to_string(count) + " " + thing + (count == 1 ? "" : "s");
}

std::string in_brackets(const std::string& text) {
  return text.empty() ? "" : " (" + text + ")";
}

std::string joined(const std::vector<std::string>& words) {
  std::string all;
  for (const std::string& word : words) all += (all.empty() ? "" : ", ") + word;
  return all;
}

namespace {

std::string rounded(double number) {
  char digits[40];
  std::snprintf(digits, sizeof digits, "%.4g", number);
  return digits;
}

// Hundredths, as a reading's own words have them.
std::string hundredths(double millimetres) {
  char digits[40];
  const double shown = std::round(100 * millimetres) / 100 + 0.0;  // a minus before nothing says nothing
  std::snprintf(digits, sizeof digits, "%.2f mm", shown);
  return digits;
}

// "parting-face" is an id; people read "parting face".
std::string as_words(std::string id) {
  std::replace(id.begin(), id.end(), '-', ' ');
  return id;
}

std::string told(const BoxRegistered& body) {
  std::string text = "Registered as '" + body.name + "', " + body.process + ", " + body.material;
  if (!body.makes.empty()) text += ", makes " + body.makes;
  if (!body.home_place.empty()) text += ", at home in " + body.home_place;
  return text + (body.design ? "; its design is known" : "; without a design, so its scans cannot be read") +
         ".";
}

std::string told(const Moved& body) {
  const std::string& where = body.to.text;
  const std::string beside = where.empty() ? "" : " (" + where + ")";
  switch (body.to.kind) {
    case Place::Kind::bay:
      return "Moved to its bay" + beside + ".";
    case Place::Kind::station:
      return "Moved to the core station" + beside + ".";
    case Place::Kind::tool_room:
      return "Moved to the tool-room" + beside + ".";
    case Place::Kind::outside_shop:
      return "Sent to an outside shop" + beside + ".";
    case Place::Kind::missing:
      return "Missing" + beside + ".";
  }
  return "Moved" + beside + ".";
}

std::string told(const Inspected& body) {
  std::string failed;
  for (const CheckpointResult& result : body.results)
    if (!result.passed) failed += (failed.empty() ? "" : ", ") + outcome(result);
  return "Inspected " + count_of(body.results.size(), "checkpoint") + ": " +
         (failed.empty() ? "all passed" : failed) + ".";
}

std::string told(const ScanRead& body) {
  const char* const of = body.of == ScanRead::Subject::core         ? "Scan "
                         : body.of == ScanRead::Subject::half_upper ? "Scan of the upper half "
                                                                    : "Scan of the lower half ";
  std::string text = of + body.file_name + " read: ";
  text += body.verdict == ScanRead::Verdict::cannot_tell ? "cannot tell" : name(body.verdict);
  text += body.findings.empty() ? ", no findings" : ", " + count_of(body.findings.size(), "finding");
  if (body.mismatch_mm) text += "; mismatch " + hundredths(*body.mismatch_mm);
  if (body.gap_mm) text += "; gap " + hundredths(*body.gap_mm);
  return text + ".";
}

std::string told(const Held& body) {
  const std::string must_pass =
      body.checkpoint.empty() ? "" : " Must pass again first: " + as_words(body.checkpoint) + ".";
  return (body.safety ? "Safety hold: " : "Put on hold: ") + ended(body.why) + must_pass;
}

std::string told(const Released& body) {
  return "Released from " + count_of(body.holds.size(), "hold") + ": " + ended(body.why);
}

std::string told(const NoteWritten& body) {
  return "Note: " + body.text;
}

}  // namespace

std::string outcome(const CheckpointResult& result) {
  std::string detail;
  if (result.measured) detail = rounded(*result.measured) + (result.unit.empty() ? "" : " " + result.unit);
  if (!result.remark.empty()) detail += (detail.empty() ? "" : "; ") + result.remark;
  return as_words(result.checkpoint) + (result.passed ? " passed" : " failed") + in_brackets(detail);
}

std::string any(const EntryBody& body) {
  return std::visit([](const auto& one) { return told(one); }, body);
}

}  // namespace told_as

std::string ended(std::string text) {
  const bool open = text.empty() || std::string_view(".!?").find(text.back()) == std::string_view::npos;
  return open ? std::move(text) + "." : text;
}

std::string sentence(const Entry& entry) {
  std::string text = told_as::any(entry.body);
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

}  // namespace boxfettle
