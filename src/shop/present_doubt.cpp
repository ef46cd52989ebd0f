#include "shop/present_doubt.hpp"

#include <algorithm>
#include <array>

#include "shop/sentence.hpp"
#include "shop/told.hpp"

namespace boxfettle {
namespace {

using AllTold = std::vector<FaultEvidence>;

void tell_cores(AllTold& all, const BoxState& state, const FaultNetwork& network, UtcTime now) {
  for (const SeenDefect& seen : state.suspects.unexplained)
    if (const auto finding = network.finding_named(name(seen.seen.defect));
        finding && now - seen.at <= network.defect_speaks)
      all.push_back({*finding, true, ToldBy::core, told_as::told(seen.seen), seen.entry, seen.at});
  for (const MissedDefect& missed : state.suspects.not_seen)
    if (const auto finding = network.finding_named(name(missed.defect)))
      all.push_back({*finding, false, ToldBy::core, told_as::told(DefectNotSeen{missed.defect}), missed.entry,
                     missed.at});
}

void tell_inspections(AllTold& all, const BoxState& state, const FaultNetwork& network) {
  for (const auto& [checkpoint, last] : state.results)
    if (const auto finding = network.finding_named(checkpoint))
      all.push_back({*finding, !last.result.passed, ToldBy::inspection,
                     "Inspected: " + ended(told_as::outcome(last.result)), last.entry, last.at});
}

// Beyond its limit. What is only noted lies within it.
bool strays(const ScanRead::Finding& finding) {
  return finding.severity == "watch" || finding.severity == "hold";
}

// The halves' own figures can be told sound; of all else a scan may have seen too little.
void tell_sound_halves(AllTold& all, const LastScan& last, const FaultNetwork& network, std::string_view kind,
                       const std::optional<double>& told_mm) {
  const auto finding = network.told_by(Telling::From::reading, kind);
  if (!finding || !told_mm) return;
  const bool beyond = std::ranges::any_of(last.scan.findings,
                                          [&](const auto& one) { return one.kind == kind && strays(one); });
  if (!beyond)
    all.push_back(
        {*finding, false, ToldBy::reading,
         "The reading of " + last.scan.file_name + " found no " + std::string(kind) + " beyond its limit.",
         last.entry, last.at});
}

void tell_reading(AllTold& all, const LastScan& last, const FaultNetwork& network) {
  for (const ScanRead::Finding& one : last.scan.findings)
    if (const auto finding = network.told_by(Telling::From::reading, one.kind); finding && strays(one))
      all.push_back({*finding, true, ToldBy::reading, ended(one.text), last.entry, last.at});
  tell_sound_halves(all, last, network, "mismatch", last.scan.mismatch_mm);
  tell_sound_halves(all, last, network, "gap", last.scan.gap_mm);
}

void tell_calculations(AllTold& all, const BoxState& state, const FaultNetwork& network) {
  for (const auto& [what, last] : state.computed)
    if (const auto finding = network.told_by(Telling::From::calculation, what))
      all.push_back({*finding, last.computed.verdict != Computed::Verdict::fit, ToldBy::calculation,
                     ended(last.computed.text), last.entry, last.at});
}

// A remark may have been written in several lines.
void put_in_one_line(AllTold& all) {
  for (FaultEvidence& one : all) std::ranges::replace(one.text, '\n', ' ');
}

// Who looks at the box again knows more than a reading or calculation made before.
void let_looks_settle(AllTold& all) {
  const AllTold looks = [&] {
    AllTold by_inspection;
    for (const FaultEvidence& one : all)
      if (one.by == ToldBy::inspection) by_inspection.push_back(one);
    return by_inspection;
  }();
  std::erase_if(all, [&](const FaultEvidence& one) {
    return std::ranges::any_of(looks, [&](const FaultEvidence& look) {
      return look.finding == one.finding && look.entry > one.entry;
    });
  });
}

// When a core was last bad, as told; without one, when anything was. None: nothing is wrong.
std::optional<UtcTime> last_trouble(const AllTold& all, const FaultNetwork& network) {
  std::optional<UtcTime> core, any;
  for (const FaultEvidence& one : all) {
    if (!one.seen) continue;
    any = std::max(any.value_or(one.at), one.at);
    if (!network.findings[one.finding].is_checkpoint()) core = std::max(core.value_or(one.at), one.at);
  }
  return core ? core : any;
}

bool speaks(const FaultEvidence& one, const AllTold& all, const FaultNetwork& network, UtcTime trouble) {
  if (one.seen) return true;
  const bool overruled = std::ranges::any_of(
      all, [&](const FaultEvidence& other) { return other.seen && other.finding == one.finding; });
  return !overruled && trouble - one.at <= network.findings[one.finding].absence_speaks;
}

}  // namespace

std::string_view name(ToldBy by) {
  static constexpr std::array<std::string_view, 4> names{"core", "inspection", "reading", "calculation"};
  return names[static_cast<std::size_t>(by)];
}

PresentDoubt present_doubt(const BoxState& state, const FaultNetwork& network, UtcTime now) {
  AllTold all;
  tell_cores(all, state, network, now);
  tell_inspections(all, state, network);
  for (const auto& [subject, last] : state.last_telling_scan) tell_reading(all, last, network);
  tell_calculations(all, state, network);
  std::erase_if(all, [&](const FaultEvidence& one) { return one.entry < state.suspects.explained_entry; });
  let_looks_settle(all);
  put_in_one_line(all);
  PresentDoubt doubt;
  const auto trouble = last_trouble(all, network);
  if (!trouble) return doubt;
  for (const FaultEvidence& one : all) {
    if (!speaks(one, all, network, *trouble)) continue;
    doubt.evidence.push_back(one);
    doubt.found[one.finding] = one.seen;
    if (one.seen) doubt.since = std::min(doubt.since.value_or(one.at), one.at);
  }
  std::ranges::stable_sort(doubt.evidence, {}, &FaultEvidence::entry);
  return doubt;
}

}  // namespace boxfettle
