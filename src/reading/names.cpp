#include <array>

#include "reading/scan_reading.hpp"
#include "reading/scan_subject.hpp"

namespace boxfettle {
namespace {

constexpr std::array<std::string_view, 3> subjects{"core", "half-upper", "half-lower"};

template <typename Enum, std::size_t Count>
std::string_view named(Enum value, const std::array<std::string_view, Count>& names) {
  return names[static_cast<std::size_t>(value)];
}

}  // namespace

std::string_view name(Severity severity) {
  return named(severity, std::array<std::string_view, 3>{"note", "watch", "hold"});
}

std::string_view name(ScanSubject subject) {
  return named(subject, subjects);
}

std::optional<ScanSubject> scan_subject_named(std::string_view text) {
  for (std::size_t i = 0; i < subjects.size(); ++i)
    if (subjects[i] == text) return static_cast<ScanSubject>(i);
  return std::nullopt;
}

std::string_view name(ScanVerdict verdict) {
  return named(verdict, std::array<std::string_view, 4>{"fit", "watch", "hold", "cannot-tell"});
}

std::string_view name(FindingKind kind) {
  return named(kind,
               std::array<std::string_view, 10>{"mismatch", "gap", "wear", "build-up", "fin", "missing-piece",
                                                "vent-print", "unseen", "dent", "raised-metal"});
}

}  // namespace boxfettle
