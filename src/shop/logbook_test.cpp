#include "shop/logbook.hpp"

#include <gmock/gmock.h>

#include <algorithm>

#include "input/input_error.hpp"
#include "shop/canonical_text.hpp"
#include "shop/invented_requests.hpp"
#include "shop/verdict.hpp"

namespace boxfettle {
namespace {

std::vector<Entry> logbook_of(const std::vector<Request>& requests) {
  std::vector<Entry> entries;
  BoxState state;
  state.box = "TM-0412";
  UtcTime now = UtcTime::parse("2026-11-25T06:00:00Z");
  for (const Request& request : requests) {
    // The first request registers the box; the rest of the day is anybody's.
    const Person person = entries.empty() ? Person{"Bo", Role::tooling} : any_person();
    const auto answer = decide(state, request, person, shipped_catalogue(), Standing{.now = now});
    now = now + std::chrono::minutes{7};
    const auto* bodies = std::get_if<std::vector<EntryBody>>(&answer);
    if (bodies == nullptr) continue;
    const Head head = entries.empty() ? Head{} : head_after(entries.back());
    for (const Entry& entry : append(head, {now, person.name, request.id, request.box, *bodies})) {
      state = fold(std::move(state), entry);
      entries.push_back(entry);
    }
  }
  return entries;
}

TEST(Logbook, AnyDaysWorkMakesAWholeChain) {
  EXPECT_TRUE(rc::check([] {
    const auto entries = logbook_of(any_days_work());
    const ChainCheck check = verify(entries);
    RC_ASSERT(check.whole);
    RC_ASSERT(check.entries == static_cast<std::int64_t>(entries.size()));
  }));
}

TEST(Logbook, EveryBeginningOfALogbookCanBeReplayed) {
  EXPECT_TRUE(rc::check([] {
    const auto entries = logbook_of(any_days_work());
    BoxState kept;
    kept.box = "TM-0412";
    for (std::size_t n = 0; n <= entries.size(); ++n) {
      if (n > 0) kept = fold(std::move(kept), entries[n - 1]);
      RC_ASSERT(replay("TM-0412", std::span(entries).first(n)) == kept);
      const Verdict told =
          verdict(kept, shipped_catalogue(), entries.empty() ? UtcTime{} : entries.back().at);
      // Nothing keeps a box from being fit without a reason that says so.
      const bool has_reason = std::any_of(told.reasons.begin(), told.reasons.end(),
                                          [&](const Reason& reason) { return reason.state == told.state; });
      RC_ASSERT(told.state == Fitness::fit || has_reason);
    }
  }));
}

TEST(Logbook, OneChangedBitInTextOrHashIsFoundAtItsEntry) {
  EXPECT_TRUE(rc::check([] {
    const auto entries = logbook_of(any_days_work());
    const auto victim = *rc::gen::inRange<std::size_t>(0, entries.size());
    const bool in_hash = *rc::gen::arbitrary<bool>();
    const auto flip = static_cast<unsigned char>(1u << *rc::gen::inRange(0, 8));
    ChainVerifier verifier;
    for (std::size_t i = 0; i < entries.size(); ++i) {
      std::string text = canonical_text(entries[i]);
      ContentHash hash = entries[i].hash;
      if (i == victim && in_hash) hash.bytes[*rc::gen::inRange<std::size_t>(0, 32)] ^= flip;
      if (i == victim && !in_hash) {
        char& letter = text[*rc::gen::inRange<std::size_t>(0, text.size())];
        letter = static_cast<char>(static_cast<unsigned char>(letter) ^ flip);
      }
      verifier.next(text, hash);
    }
    RC_ASSERT(!verifier.result().whole);
    RC_ASSERT(verifier.result().broken_at == static_cast<std::int64_t>(victim) + 1);
  }));
}

TEST(Logbook, AnEntryTakenOutOrPutElsewhereIsFound) {
  std::vector<EntryBody> notes{NoteWritten{"one"}, NoteWritten{"two"}, NoteWritten{"three"}};
  const auto entries = append({}, {{}, "Asha", "request-1", "TM-0412", notes});
  auto without_second = entries;
  without_second.erase(without_second.begin() + 1);
  EXPECT_EQ(verify(without_second).broken_at, 2);
  auto swapped = entries;
  std::swap(swapped[0], swapped[1]);
  EXPECT_EQ(verify(swapped).broken_at, 1);
  auto rewritten = entries;
  rewritten[1].who = "Ravi";
  EXPECT_EQ(verify(rewritten).broken_at, 2);
  EXPECT_TRUE(verify(entries).whole);
}

TEST(Logbook, AWholeChainOfForgedNumbersIsFound) {
  // Someone rebuilds all hashes but starts counting at 5.
  const auto entries = append({4, {}}, {{}, "Asha", "request-1", "TM-0412", {NoteWritten{"one"}}});
  EXPECT_FALSE(verify(entries).whole);
}

}  // namespace
}  // namespace boxfettle
