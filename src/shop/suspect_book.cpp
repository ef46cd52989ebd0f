#include "shop/suspect_book.hpp"

#include <algorithm>

namespace boxfettle {
namespace {

void note(SuspectBook& book, const Entry& entry, const std::string& property, bool good) {
  (good ? book.last_good : book.last_bad)[property] = {entry.seq, entry.at};
}

ListedTrace* trace_named(SuspectBook& book, const std::string& trace) {
  const auto found = book.traces.find(trace);
  return found == book.traces.end() ? nullptr : &found->second;
}

}  // namespace

void tell(SuspectBook& book, const Entry& entry, const Inspected& body) {
  for (const CheckpointResult& result : body.results) note(book, entry, result.checkpoint, result.passed);
}

// A reading that watches is no proof of bad cores, and none of good ones. A good half says nothing of what a
// core showed, so each has a property of its own.
void tell(SuspectBook& book, const Entry& entry, const ScanRead& body) {
  const std::string of_half =
      body.of == ScanRead::Subject::core ? "" : "-of-" + std::string(name(body.of));
  if (body.verdict == ScanRead::Verdict::fit) note(book, entry, "reading" + of_half, true);
  if (body.verdict == ScanRead::Verdict::hold) note(book, entry, "reading" + of_half, false);
}

void tell(SuspectBook& book, const Entry& entry, const RunOpened&) {
  note(book, entry, "pieces", true);  // all of them were confirmed, else it had been refused
}

void tell(SuspectBook& book, const Entry& entry, const RunClosed& body) {
  note(book, entry, "condition", body.condition == RunClosed::Condition::good);
}

void tell(SuspectBook& book, const Entry& entry, const PieceMoved& body) {
  if (body.to.kind == Place::Kind::missing) note(book, entry, "pieces", false);
}

void tell(SuspectBook& book, const Entry& entry, const StockTaken& body) {
  if (!body.piece.empty() && body.outcome == StockTaken::Outcome::missing) note(book, entry, "pieces", false);
}

void tell(SuspectBook& book, const Entry& entry, const DefectSeen& body) {
  book.unexplained.push_back({body, entry.seq, entry.at, entry.who});
  std::erase_if(book.not_seen, [&](const MissedDefect& missed) { return missed.defect == body.defect; });
}

void tell(SuspectBook& book, const Entry& entry, const DefectNotSeen& body) {
  std::erase_if(book.not_seen, [&](const MissedDefect& missed) { return missed.defect == body.defect; });
  book.not_seen.push_back({body.defect, entry.seq, entry.at});
}

void tell(SuspectBook& book, const Entry& entry, const CauseConfirmed& body) {
  book.causes.push_back({body, entry.seq, entry.at});
  book.explained_entry = entry.seq;
  book.unexplained.clear();
  book.not_seen.clear();
}

void tell(SuspectBook& book, const Entry& entry, const SuspectsListed& body) {
  book.traces[body.trace] = {body, entry.seq, entry.at, {}, {}};
}

void tell(SuspectBook& book, const Entry&, const LotDealtWith& body) {
  if (ListedTrace* trace = trace_named(book, body.trace)) trace->dealt_with[body.lot] = body;
}

void tell(SuspectBook& book, const Entry&, const FalseAlarm& body) {
  if (ListedTrace* trace = trace_named(book, body.trace)) trace->false_alarm = body.why;
}

}  // namespace boxfettle
