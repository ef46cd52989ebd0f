#include <array>

#include "reading/scan_reading.hpp"

namespace boxfettle {
namespace {

template <typename Enum, std::size_t Count>
std::string_view named(Enum value, const std::array<std::string_view, Count>& names) {
  return names[static_cast<std::size_t>(value)];
}

}  // namespace

std::string_view name(Severity severity) {
  return named(severity, std::array<std::string_view, 3>{"note", "watch", "hold"});
}

std::string_view name(ScanSubject subject) {
  return named(subject, std::array<std::string_view, 3>{"core", "half-upper", "half-lower"});
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
