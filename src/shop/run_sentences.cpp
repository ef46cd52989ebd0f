#include <cstdio>

#include "shop/fault_network.hpp"
#include "shop/sentence.hpp"
#include "shop/told.hpp"

namespace boxfettle::told_as {
namespace {

std::string remark(const std::string& text) {
  return text.empty() ? "." : ": " + ended(text);
}

// "soft-spot" is a name in the record; people read "soft spot".
std::string in_words(std::string_view name) {
  std::string words(name);
  for (char& c : words)
    if (c == '-') c = ' ';
  return words;
}

// An entry may be older than the list and name what is no longer in it.
std::string fault_in_words(const std::string& id) {
  const auto fault = shipped_faults().fault_named(id);
  return fault ? shipped_faults().faults[*fault].title : in_words(id);
}
std::string called_in_diagnosis(const std::string& id) {
  const auto finding = shipped_faults().finding_named(id);
  return finding ? shipped_faults().findings[*finding].called : in_words(id);
}

std::string measured(const FirstPieceLooked& body) {
  std::string all;
  for (const auto& one : body.measured) {
    char digits[40];
    std::snprintf(digits, sizeof digits, "%.5g", one.value);
    all += (all.empty() ? "" : ", ") + one.characteristic + " " + digits +
           (one.unit.empty() ? "" : " " + one.unit) + (one.passed ? "" : " (outside)");
  }
  return in_brackets(all);
}

}  // namespace

std::string told(const RunOpened& body) {
  return "Run " + body.run + " opened on " + body.station + ", " + std::to_string(body.planned) + " planned" +
         (body.order.empty() ? "" : ", order " + body.order) +
         (body.batch.empty() ? "" : ", batch " + body.batch) +
         (body.pieces.empty() ? ""
                              : ", with " + count_of(body.pieces.size(), "loose piece") + " in the box") +
         ".";
}
std::string told(const FirstPieceLooked& body) {
  return "First piece " + std::to_string(body.number) + (body.passed ? " good" : " bad") + measured(body) +
         remark(body.remark);
}
std::string told(const CareDone& body) {
  return "Care done: " + in_words(body.care) + " at " + std::to_string(body.shots) + " shots" +
         remark(body.remark);
}
std::string told(const RunPaused& body) {
  return "Run " + body.run + " paused: " + ended(body.why);
}
std::string told(const RunResumed& body) {
  return "Run " + body.run + " goes on.";
}
std::string told(const HandedOver& body) {
  return "Run " + body.run + " handed over to " + body.to + " at " + std::to_string(body.shots) + " shots" +
         remark(body.remark);
}
std::string told(const RunClosed& body) {
  const char* condition = body.condition == RunClosed::Condition::good         ? "in good order"
                          : body.condition == RunClosed::Condition::look_at_it ? "to be looked at"
                                                                               : "damaged";
  return "Run " + body.run + " closed: " + std::to_string(body.made) + " made, " + std::to_string(body.bad) +
         " bad, box " + condition + (body.went_to.empty() ? "" : ", cores went to " + body.went_to) +
         remark(body.remark);
}
std::string told(const CareChosen& body) {
  if (body.care.empty()) return "Care as the shop has it again: " + ended(body.why);
  return "Care chosen for this box, " + count_of(body.care.size(), "rule") + ": " + ended(body.why);
}
std::string told(const FirstPiecesChosen& body) {
  return "First pieces of a run: " + std::to_string(body.count) +
         (body.to_measure.empty() ? "" : ", each measured for " + joined(body.to_measure)) + ".";
}
std::string told(const DefectSeen& body) {
  return "Bad core: " + in_words(name(body.defect)) +
         (body.count == 1 ? "" : " on " + std::to_string(body.count)) +
         (body.run.empty() ? "" : ", run " + body.run) + remark(body.remark);
}
std::string told(const DefectNotSeen& body) {
  return "Looked for and not there: " + in_words(name(body.defect)) + ".";
}
std::string told(const CauseConfirmed& body) {
  std::vector<std::string> seen;
  for (const std::string& id : body.seen) seen.push_back(called_in_diagnosis(id));
  return "Cause found: " + fault_in_words(body.fault) +
         (seen.empty() ? "" : " (seen: " + joined(seen) + ")") + remark(body.remark);
}
std::string told(const LearningReset& body) {
  return "What was learnt about " +
         (body.fault.empty() ? "every fault" : "'" + fault_in_words(body.fault) + "'") +
         " is set back: " + ended(body.why);
}
std::string told(const SuspectsListed& body) {
  std::int64_t cores = 0;
  for (const auto& lot : body.lots) cores += lot.cores;
  return "Suspect cores listed, " + body.trace + ": " + std::to_string(cores) + " in " +
         count_of(body.lots.size(), "lot") + ", in doubt is " + in_words(body.property) + ": " +
         ended(body.why);
}
std::string told(const LotDealtWith& body) {
  return "Lot " + std::to_string(body.lot + 1) + " of " + body.trace + " dealt with, " +
         std::to_string(body.good) + " good and " + std::to_string(body.bad) + " bad: " + ended(body.what);
}
std::string told(const FalseAlarm& body) {
  return body.trace + " was a false alarm: " + ended(body.why);
}

}  // namespace boxfettle::told_as
