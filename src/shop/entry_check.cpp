// What may be written into the logbook at all: lengths, characters, numbers. Rules of the shop are in
// requests.cpp.
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "input/input_error.hpp"
#include "shop/entry_fields.hpp"
#include "shop/text_check.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t label_bytes = 200;   // names, places, file names, ids
constexpr std::size_t prose_bytes = 4000;  // remarks, reasons, notes: the page asks for less
constexpr std::size_t document_bytes = 200000;
constexpr std::int64_t most_counted = 1000000000000;
constexpr std::size_t most_results = 200;
constexpr std::size_t most_findings = 1000;

[[noreturn]] void wrong(const std::string& place, const std::string& what, const std::string& mend) {
  throw InputError("", place, what, mend);
}

void check_label(const std::string& text, const std::string& place, Empty empty = Empty::refused) {
  check_text(text, place, label_bytes, empty, Lines::one);
}
void check_prose(const std::string& text, const std::string& place, Empty empty = Empty::refused) {
  check_text(text, place, prose_bytes, empty, Lines::many);
}

void check_number(double number, const std::string& place) {
  if (!std::isfinite(number)) wrong(place, "is not a number", "give a finite number");
}
void check_number(const std::optional<double>& number, const std::string& place) {
  if (number) check_number(*number, place);
}

void check_limit(double limit, const std::string& place) {
  check_number(limit, place);
  if (limit <= 0) wrong(place, "must be more than 0", "give the limit of the drawing");
}

void check(const BoxRegistered& body) {
  check_label(body.name, "name");
  check_label(body.makes, "makes", Empty::allowed);
  check_label(body.process, "process");
  check_label(body.material, "material");
  check_label(body.home_place, "home_place", Empty::allowed);
  check_limit(body.limits.surface_mm, "limits.surface_mm");
  check_limit(body.limits.mismatch_mm, "limits.mismatch_mm");
  check_limit(body.limits.gap_mm, "limits.gap_mm");
  check_limit(body.limits.weight_percent, "limits.weight_percent");
  check_label(body.design_name, "design_name", Empty::allowed);
}

void check(const Moved& body) {
  check_label(body.to.text, "to.text", Empty::allowed);
}

void check(const Inspected& body) {
  if (body.results.empty()) wrong("results", "is empty", "tell at least one checkpoint");
  if (body.results.size() > most_results) wrong("results", "is too long", "tell each checkpoint once");
  std::set<std::string> told;
  for (std::size_t i = 0; i < body.results.size(); ++i) {
    const CheckpointResult& result = body.results[i];
    const std::string place = "results[" + std::to_string(i) + "].";
    check_label(result.checkpoint, place + "checkpoint");
    if (!told.insert(result.checkpoint).second)
      wrong(place + "checkpoint", "'" + result.checkpoint + "' is told twice", "tell each checkpoint once");
    check_number(result.measured, place + "measured");
    check_label(result.unit, place + "unit", Empty::allowed);
    check_prose(result.remark, place + "remark", Empty::allowed);
  }
}

void check(const ScanRead& body) {
  check_label(body.reading, "reading");
  check_label(body.file_name, "file_name");
  if (body.findings.size() > most_findings) wrong("findings", "is too long", "keep the hardest 1000");
  for (std::size_t i = 0; i < body.findings.size(); ++i) {
    const ScanRead::Finding& finding = body.findings[i];
    const std::string place = "findings[" + std::to_string(i) + "].";
    check_label(finding.kind, place + "kind");
    check_label(finding.severity, place + "severity");
    check_prose(finding.text, place + "text", Empty::allowed);
    check_number(finding.depth_mm, place + "depth_mm");
    check_number(finding.limit_mm, place + "limit_mm");
  }
  check_number(body.mismatch_mm, "mismatch_mm");
  check_number(body.gap_mm, "gap_mm");
}

void check(const Held& body) {
  check_prose(body.why, "why");
  check_label(body.checkpoint, "checkpoint", body.safety ? Empty::refused : Empty::allowed);
}

void check(const Released& body) {
  check_prose(body.why, "why");
  if (body.holds.empty()) wrong("holds", "is empty", "name the hold that is released");
  if (body.holds.size() > most_findings) wrong("holds", "is too long", "release each hold once");
}

void check(const NoteWritten& body) {
  check_prose(body.text, "text");
}

// The kinds that have lists of fields.
struct Checker {
  std::string place_;

  void label(const char* key, const std::string& text, Empty empty = Empty::refused) const {
    check_label(text, place_ + key, empty);
  }
  void prose(const char* key, const std::string& text, Empty empty = Empty::refused) const {
    check_prose(text, place_ + key, empty);
  }
  void document(const char* key, const std::string& text) const {
    check_text(text, place_ + key, document_bytes, Empty::refused, Lines::many);
  }
  void flag(const char*, bool) const {}
  void count(const char* key, std::int64_t count, std::int64_t least) const {
    if (count < least || count > most_counted)
      wrong(place_ + key, "is " + std::to_string(count),
            "give a whole number from " + std::to_string(least) + " to " + std::to_string(most_counted));
  }
  void count(const char* key, const std::optional<std::int64_t>& count, std::int64_t least) const {
    if (count) this->count(key, *count, least);
  }
  void number(const char* key, double number, std::optional<double> least = {}) const {
    check_number(number, place_ + key);
    if (least && number < *least)
      wrong(place_ + key, "is too small", "give a number from " + std::to_string(*least));
  }
  void number(const char* key, const std::optional<double>& number, std::optional<double> least = {}) const {
    if (number) this->number(key, *number, least);
  }
  void time(const char*, UtcTime) const {}
  void time(const char*, const std::optional<UtcTime>&) const {}
  template <class Value, std::size_t N>
  void choice(const char*, Value, const std::array<std::string_view, N>&) const {}
  void place(const char* key, const Place& place) const {
    check_label(place.text, place_ + key + ".text", Empty::allowed);
  }
  void names(const char* key, const std::vector<std::string>& names, std::size_t most) const {
    if (names.size() > most) wrong(place_ + key, "is too long", "give at most " + std::to_string(most));
    for (std::size_t i = 0; i < names.size(); ++i)
      check_label(names[i], place_ + key + "[" + std::to_string(i) + "]");
  }
  void counts(const char* key, const std::vector<std::int64_t>& counts, std::int64_t least,
              std::int64_t greatest) const {
    if (counts.size() > most_findings) wrong(place_ + key, "is too long", "give at most 1000");
    for (const std::int64_t count : counts)
      if (count < least || (greatest > 0 && count > greatest))
        wrong(place_ + key, "has " + std::to_string(count),
              "give numbers from " + std::to_string(least) + " on");
  }
  template <class Item>
  void list(const char* key, const std::vector<Item>& items, std::size_t most) const {
    if (items.size() > most) wrong(place_ + key, "is too long", "give at most " + std::to_string(most));
    for (std::size_t i = 0; i < items.size(); ++i) {
      const Checker inner{place_ + key + "[" + std::to_string(i) + "]."};
      fields(inner, items[i]);
    }
  }
};

template <HasFields Body>
void check(const Body& body) {
  const Checker checker{""};
  fields(checker, body);
}

}  // namespace

void check_body(const EntryBody& body) {
  std::visit([](const auto& told) { check(told); }, body);
}

void check_sender(const std::string& who, const std::string& request, const std::string& box) {
  check_label(who, "who");
  check_label(box, "box");
  check_label(request, "request");
  if (request.size() < 8 || request.size() > 64)
    wrong("request", "has " + std::to_string(request.size()) + " characters",
          "make up an id of 8 to 64 characters");
}

}  // namespace boxfettle
