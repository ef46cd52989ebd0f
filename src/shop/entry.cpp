#include "shop/entry.hpp"

#include <array>

namespace boxfettle {
namespace {

constexpr std::array<std::string_view, 7> first_kinds{"registered", "moved",    "inspected", "scan-read",
                                                      "held",       "released", "note"};
constexpr std::array<std::string_view, 5> place_kinds{"bay", "station", "tool-room", "outside-shop",
                                                      "missing"};
constexpr std::array<std::string_view, 4> scan_verdicts{"fit", "watch", "hold", "cannot-tell"};
constexpr std::array<std::string_view, 3> scan_subjects{"core", "half-upper", "half-lower"};

template <class Value, std::size_t N>
std::optional<Value> value_named(const std::array<std::string_view, N>& names, std::string_view text) {
  for (std::size_t i = 0; i < N; ++i)
    if (names[i] == text) return static_cast<Value>(i);
  return std::nullopt;
}

}  // namespace

std::string_view kind(const EntryBody& body) {
  return std::visit(
      [&]<class Body>(const Body&) -> std::string_view {
        if constexpr (requires { Body::kind; })
          return Body::kind;
        else
          return first_kinds[body.index()];
      },
      body);
}

bool of_whole_shop(const EntryBody& body) {
  return std::holds_alternative<SpareCounted>(body) || std::holds_alternative<FitterHours>(body) || std::holds_alternative<FitterAway>(body) ||
         std::holds_alternative<PlaceRegistered>(body) || std::holds_alternative<SandMixed>(body) ||
         std::holds_alternative<ShopCareChosen>(body) || std::holds_alternative<CatalogueWritten>(body) ||
         std::holds_alternative<LearningReset>(body);
}
std::string_view name(Place::Kind kind) {
  return place_kinds[static_cast<std::size_t>(kind)];
}
std::string_view name(ScanRead::Verdict verdict) {
  return scan_verdicts[static_cast<std::size_t>(verdict)];
}

std::string_view name(ScanRead::Subject subject) {
  return scan_subjects[static_cast<std::size_t>(subject)];
}

std::optional<Place::Kind> place_kind_named(std::string_view text) {
  return value_named<Place::Kind>(place_kinds, text);
}
std::optional<ScanRead::Verdict> scan_verdict_named(std::string_view text) {
  return value_named<ScanRead::Verdict>(scan_verdicts, text);
}
std::optional<ScanRead::Subject> scanned_subject_named(std::string_view text) {
  return value_named<ScanRead::Subject>(scan_subjects, text);
}

}  // namespace boxfettle
