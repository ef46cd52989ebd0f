// What holds whatever anybody asks of the logbook, in whatever order.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <memory>
#include <set>

#include "input/input_error.hpp"
#include "shop/canonical_text.hpp"
#include "shop/invented_tellings.hpp"
#include "shop/logbook.hpp"
#include "shop/run_phase.hpp"

namespace boxfettle {
namespace {

const std::string the_box = "TM-0412";

// A shop that does what it is asked, as the service does, and keeps the logbook that comes of it.
class AskedShop {
 public:
  AskedShop() { box_.box = the_box; }

  // Entries it added; none when it was refused or could not be written at all.
  std::vector<Entry> ask(const Request& request, const Person& person, UtcTime now) {
    refusal_.reset();
    const auto answer = answer_to(request, person, now);
    refused_ = !answer;
    if (!answer) return {};
    const std::vector<Entry> added = append(head_, {now, person.name, request.id, request.box, *answer});
    for (const Entry& entry : added) take(entry);
    return added;
  }

  bool refused() const { return refused_; }
  const std::optional<Refusal>& refusal() const { return refusal_; }  // the last answer, when a rule said no
  const BoxState& box() const { return box_; }
  const ShopState& whole() const { return whole_; }
  const Catalogue& catalogue() const { return written_ ? *written_ : shipped_catalogue(); }
  const std::vector<Entry>& logbook() const { return logbook_; }

 private:
  std::optional<std::vector<EntryBody>> answer_to(const Request& request, const Person& person, UtcTime now) {
    try {
      Standing standing{.now = now};
      standing.shop_care = whole_.care;
      const auto answer = request.box == whole_shop ? decide_for_shop(request, person, whole_)
                                                    : decide(box_, request, person, catalogue(), standing);
      if (const auto* bodies = std::get_if<std::vector<EntryBody>>(&answer)) return *bodies;
      refusal_ = std::get<Refusal>(answer);
    } catch (const InputError&) {
      // What may not be written at all is refused as well.
    }
    return std::nullopt;
  }

  void take(const Entry& entry) {
    fold_into(box_, entry);
    fold(whole_, entry);
    if (const auto* written = std::get_if<CatalogueWritten>(&entry.body))
      written_ = std::make_shared<const Catalogue>(parse_catalogue(written->toml, ""));
    head_ = head_after(entry);
    logbook_.push_back(entry);
  }

  BoxState box_;
  ShopState whole_;
  std::shared_ptr<const Catalogue> written_;
  std::vector<Entry> logbook_;
  Head head_;
  bool refused_ = false;
  std::optional<Refusal> refusal_;
};

// From nothing to a run that counts, as it goes on most days.
void a_run_is_opened(AskedShop& shop, UtcTime now) {
  const Person greta{"Greta", Role::tooling}, asha{"Asha", Role::operator_};
  int asked = 0;
  const auto ask = [&](const Person& who, decltype(Request::what) what) {
    shop.ask({"opening-" + std::to_string(++asked), the_box, std::move(what)}, who, now);
  };
  ask(greta, RegisterBox{volute_box()});
  for (const char* piece : {"TM-0412-A", "TM-0412-B"})
    if (*rc::gen::arbitrary<bool>()) ask(greta, Tell{PieceRegistered{piece, "Port former", "Rack B, tray"}});
  ask(greta, Tell{FirstPiecesChosen{1 + any_count(3), {}}});
  InspectBox look;
  for (const Checkpoint& point : shop.catalogue().checkpoints)
    look.results.push_back(
        {.checkpoint = point.id, .passed = true, .measured = {}, .unit = "", .remark = ""});
  ask(asha, look);
  RunOpened run;
  run.station = any_station();
  run.planned = 200;
  for (const auto& [label, piece] : shop.box().kit) run.pieces.push_back(label);
  ask(asha, Tell{run});
  const std::int64_t wanted = shop.box().runs.open->opened.first_pieces;
  for (std::int64_t i = 0; i < wanted; ++i) ask(asha, Tell{FirstPieceLooked{"", 0, true, {}, ""}});
}

// Random people ask random things at random times, some of it twice; more often than not in a run. `after`
// looks at the shop after each.
template <class After>
void any_time_goes_by(AskedShop& shop, int most_requests, const After& after) {
  UtcTime now = UtcTime::parse("2026-11-25T06:00:00Z");
  std::vector<Request> asked;
  if (*rc::gen::inRange(0, 3) > 0) a_run_is_opened(shop, now);
  after(now);
  const int requests = *rc::gen::inRange(most_requests / 2, most_requests);
  for (int i = 0; i < requests; ++i) {
    now = now + std::chrono::minutes(*rc::gen::weightedOneOf<int>({{8, rc::gen::inRange(0, 10)},
                                                                   {1, rc::gen::inRange(-20, 240)},
                                                                   {1, rc::gen::inRange(0, 4000)}}));
    const bool again = !asked.empty() && *rc::gen::inRange(0, 15) == 0;
    const Request request =
        again ? asked[*rc::gen::inRange<std::size_t>(0, asked.size())]
              : any_request_at_all({shop.box(), shop.catalogue(), now}, "request-" + std::to_string(i));
    shop.ask(request, any_person_by_name(), now);
    asked.push_back(request);
    after(now);
  }
}

// What a run needs, read from the entries themselves and not from the state the rules look at.
struct ToldInEntries {
  std::map<std::int64_t, Held> safety_holds;
  std::map<std::string, bool> passed;          // by checkpoint
  std::map<std::string, bool> piece_is_there;  // by label
  std::optional<RunOpened> run;
  std::int64_t good_in_a_row = 0;
  Place box_stands;

  explicit ToldInEntries(const std::vector<Entry>& entries) {
    for (const Entry& entry : entries)
      if (entry.box == the_box) std::visit([&](const auto& body) { hear(entry, body); }, entry.body);
  }

 private:
  template <class Body>
  void hear(const Entry&, const Body&) {}
  void hear(const Entry& entry, const Held& body) {
    if (body.safety) safety_holds[entry.seq] = body;
  }
  void hear(const Entry&, const Released& body) {
    for (const std::int64_t hold : body.holds) safety_holds.erase(hold);
  }
  void hear(const Entry&, const Inspected& body) {
    for (const CheckpointResult& result : body.results) passed[result.checkpoint] = result.passed;
  }
  void hear(const Entry&, const PieceRegistered& body) { piece_is_there.try_emplace(body.piece, false); }
  void hear(const Entry&, const PieceRetired& body) { piece_is_there.erase(body.piece); }
  void hear(const Entry&, const PieceMoved& body) { piece_seen(body.piece, body.to); }
  void hear(const Entry&, const StockTaken& body) {
    const bool missing = body.outcome == StockTaken::Outcome::missing;
    const Place place = missing ? Place{Place::Kind::missing, ""} : body.seen;
    if (body.piece.empty())
      box_stands = place;
    else
      piece_seen(body.piece, place);
  }
  void hear(const Entry&, const Moved& body) { box_stands = body.to; }
  void hear(const Entry&, const RunOpened& body) {
    run = body;
    good_in_a_row = 0;
    box_stands = {Place::Kind::station, body.station};
    for (auto& [label, there] : piece_is_there)
      there = std::find(body.pieces.begin(), body.pieces.end(), label) != body.pieces.end();
  }
  void hear(const Entry&, const RunClosed&) { run.reset(); }
  void hear(const Entry&, const FirstPieceLooked& body) {
    good_in_a_row = body.passed ? good_in_a_row + 1 : 0;
  }

  void piece_seen(const std::string& label, const Place& place) {
    const auto piece = piece_is_there.find(label);
    if (piece == piece_is_there.end()) return;
    const bool at_the_run = run && place.kind == Place::Kind::station && place.text == run->station;
    if (!at_the_run)
      piece->second = false;
    else if (was_in_run(label))
      piece->second = true;
  }
  bool was_in_run(const std::string& label) const {
    return std::find(run->pieces.begin(), run->pieces.end(), label) != run->pieces.end();
  }
};

TEST(AnyRequests, ReplayingAnyBeginningOfTheLogbookGivesTheStateThatWasKept) {
  EXPECT_TRUE(rc::check([] {
    AskedShop shop;
    std::vector<std::pair<std::size_t, BoxState>> kept;
    std::vector<ShopState> kept_whole;
    any_time_goes_by(shop, 60, [&](UtcTime) {
      kept.emplace_back(shop.logbook().size(), shop.box());
      kept_whole.push_back(shop.whole());
    });
    for (std::size_t i = 0; i < kept.size(); ++i) {
      const auto beginning = std::span(shop.logbook()).first(kept[i].first);
      RC_ASSERT(replay(the_box, beginning) == kept[i].second);
      RC_ASSERT(replay_shop(beginning) == kept_whole[i]);
    }
  }));
}

TEST(AnyRequests, WhatWasWrittenReadsBackAsItWas) {
  EXPECT_TRUE(rc::check([] {
    AskedShop shop;
    any_time_goes_by(shop, 60, [](UtcTime) {});
    for (const Entry& entry : shop.logbook()) {
      Entry read = entry_from_text(canonical_text(entry));
      read.previous = entry.previous;
      read.hash = entry.hash;
      RC_ASSERT(read == entry);
      RC_ASSERT(!sentence(entry).empty());
    }
  }));
}

TEST(AnyRequests, NothingLeadsToARunThatCountsWithoutWhatMakesItSafeAndWhole) {
  std::size_t counted = 0;
  EXPECT_TRUE(rc::check([&] {
    AskedShop shop;
    any_time_goes_by(shop, 80, [&](UtcTime now) {
      if (run_phase(shop.box(), shop.catalogue(), 0, now).at != RunPhase::At::running) return;
      ++counted;
      const ToldInEntries told(shop.logbook());
      RC_ASSERT(told.run.has_value());
      RC_ASSERT(told.safety_holds.empty());
      for (const auto& [label, there] : told.piece_is_there) RC_ASSERT(there);
      RC_ASSERT(told.good_in_a_row >= told.run->first_pieces);
      RC_ASSERT(told.box_stands == (Place{Place::Kind::station, told.run->station}));
      for (const Checkpoint& point : shop.catalogue().checkpoints)
        if (point.consequence == Consequence::safety_hold)
          RC_ASSERT(!told.passed.contains(point.id) || told.passed.at(point.id));
    });
  }));
  EXPECT_GT(counted, 100u) << "the requests hardly ever lead to a run";
}

TEST(AnyRequests, ARefusalSaysWhyAndWhatToDoInWholeSentences) {
  std::set<std::string> told;
  EXPECT_TRUE(rc::check([&] {
    AskedShop shop;
    any_time_goes_by(shop, 60, [&](UtcTime) {
      if (!shop.refusal()) return;
      const auto& [what, mend] = *shop.refusal();
      for (const std::string& text : {what, mend}) {
        RC_LOG() << text << '\n';
        RC_ASSERT(!text.empty());
        RC_ASSERT(text.back() == '.' || text.back() == '?');
        RC_ASSERT(text.find('_') == std::string::npos);
        RC_ASSERT(text.find("  ") == std::string::npos);
      }
      told.insert(mend);
    });
  }));
  EXPECT_GT(told.size(), 20u);
}

// Only the shop's own choice says how many first pieces a run needs, and which care it follows.
TEST(AnyRequests, NobodyOpensARunOnTermsOfTheirOwn) {
  EXPECT_TRUE(rc::check([] {
    AskedShop shop;
    std::int64_t wanted = 5;
    std::size_t seen = 0;
    any_time_goes_by(shop, 60, [&](UtcTime) {
      for (; seen < shop.logbook().size(); ++seen) {
        const EntryBody& body = shop.logbook()[seen].body;
        if (const auto* chosen = std::get_if<FirstPiecesChosen>(&body)) wanted = chosen->count;
        if (const auto* opened = std::get_if<RunOpened>(&body)) RC_ASSERT(opened->first_pieces == wanted);
      }
    });
  }));
}

TEST(AnyRequests, SentAgainTheyChangeNothing) {
  EXPECT_TRUE(rc::check([] {
    AskedShop shop;
    UtcTime now = UtcTime::parse("2026-11-25T06:00:00Z");
    for (int i = 0; i < 50; ++i) {
      now = now + std::chrono::minutes(5);
      const Request request =
          any_request_at_all({shop.box(), shop.catalogue(), now}, "request-" + std::to_string(i));
      if (shop.ask(request, any_person_by_name(), now).empty()) continue;
      const BoxState box = shop.box();
      const ShopState whole = shop.whole();
      RC_ASSERT(shop.ask(request, any_person_by_name(), now + std::chrono::hours(1)).empty());
      RC_ASSERT(!shop.refused());
      RC_ASSERT(shop.box() == box);
      RC_ASSERT(shop.whole() == whole);
    }
  }));
}

// No role has a way round a safety hold: it ends only in a release after its checkpoint was passed again.
TEST(AnyRequests, ASafetyHoldEndsOnlyAfterItsCheckpointPassedAgain) {
  EXPECT_TRUE(rc::check([] {
    AskedShop shop;
    std::vector<OpenHold> before;
    std::map<std::string, LastResult> results;
    any_time_goes_by(shop, 80, [&](UtcTime) {
      for (const OpenHold& hold : before) {
        const auto& holds = shop.box().holds;
        if (!hold.held.safety || std::find(holds.begin(), holds.end(), hold) != holds.end()) continue;
        const auto passed = results.find(hold.held.checkpoint);
        RC_ASSERT(passed != results.end());
        RC_ASSERT(passed->second.result.passed);
        RC_ASSERT(passed->second.entry > hold.entry);
      }
      before = shop.box().holds;
      results = shop.box().results;
    });
  }));
}

// Two tablets without a network

struct Tablet {
  Person person;
  std::vector<Request> queue;
};

// What this person does on a tablet that knows the shop as it was, and applies the rules to that.
Tablet worked_on_alone(AskedShop shop, const Person& person, UtcTime now) {
  Tablet tablet{person, {}};
  const std::int64_t seen = shop.box().last_entry;
  for (int i = *rc::gen::inRange(1, 5); i > 0; --i) {
    Request request =
        any_request_at_all({shop.box(), shop.catalogue(), now}, "offline-" + person.name + std::to_string(i));
    if (request.box == whole_shop) continue;
    request.as_of_entry = seen;
    if (!shop.ask(request, person, now).empty()) tablet.queue.push_back(std::move(request));
  }
  return tablet;
}

struct Outcome {
  bool conflict = false;  // somebody was refused something that the tablet alone agreed to
  RunPhase::At phase = RunPhase::At::no_run;
  Fitness state = Fitness::fit;
  std::multiset<std::string> reasons;
};

// Both queues arrive, each in its own order, mixed at random.
Outcome arrived(AskedShop shop, const Tablet& one, const Tablet& other, UtcTime now) {
  Outcome outcome;
  std::size_t i = 0, j = 0;
  while (i < one.queue.size() || j < other.queue.size()) {
    const bool first = j == other.queue.size() || (i < one.queue.size() && *rc::gen::arbitrary<bool>());
    if (first)
      shop.ask(one.queue[i++], one.person, now);
    else
      shop.ask(other.queue[j++], other.person, now);
    outcome.conflict = outcome.conflict || shop.refused();
  }
  const Verdict said = verdict(shop.box(), shop.catalogue(), now);
  outcome.state = said.state;
  outcome.phase = run_phase(shop.box(), shop.catalogue(), 0, now).at;
  for (const Reason& reason : said.reasons) outcome.reasons.insert(reason.text);
  return outcome;
}

TEST(AnyRequests, WhatTwoTabletsKeptGivesTheSameVerdictInAnyOrderOrOneIsToldOfTheOther) {
  std::size_t agreed = 0, in_conflict = 0;
  EXPECT_TRUE(rc::check([&] {
    AskedShop shop;
    UtcTime now;
    any_time_goes_by(shop, 40, [&](UtcTime at) { now = at; });
    const Tablet one = worked_on_alone(shop, {"Asha", any_person_by_name().role}, now);
    const Tablet other = worked_on_alone(shop, {"Bram", any_person_by_name().role}, now);
    const Outcome here = arrived(shop, one, other, now);
    for (int order = 0; order < 4; ++order) {
      const Outcome there = arrived(shop, one, other, now);
      if (here.conflict || there.conflict) {
        ++in_conflict;
        continue;
      }
      ++agreed;
      RC_ASSERT(here.state == there.state);
      RC_ASSERT(here.reasons == there.reasons);
      RC_ASSERT(here.phase == there.phase);
    }
  }));
  EXPECT_GT(agreed, 50u) << "the tablets hardly ever agree";
  EXPECT_GT(in_conflict, 10u) << "the tablets hardly ever meet";
}

TEST(AnyRequests, AnyChangedByteOfAnyEntryIsFoundWhereItIs) {
  EXPECT_TRUE(rc::check([] {
    AskedShop shop;
    any_time_goes_by(shop, 40, [](UtcTime) {});
    const std::vector<Entry>& entries = shop.logbook();
    RC_PRE(!entries.empty());
    const auto victim = *rc::gen::inRange<std::size_t>(0, entries.size());
    const auto other = static_cast<unsigned char>(*rc::gen::inRange(1, 256));
    const bool in_hash = *rc::gen::inRange(0, 4) == 0;
    ChainVerifier verifier;
    for (std::size_t i = 0; i < entries.size(); ++i) {
      std::string text = canonical_text(entries[i]);
      ContentHash hash = entries[i].hash;
      if (i == victim && in_hash) hash.bytes[*rc::gen::inRange<std::size_t>(0, hash.bytes.size())] ^= other;
      if (i == victim && !in_hash) {
        char& byte = text[*rc::gen::inRange<std::size_t>(0, text.size())];
        byte = static_cast<char>(static_cast<unsigned char>(byte) ^ other);
      }
      verifier.next(text, hash);
    }
    RC_ASSERT(!verifier.result().whole);
    RC_ASSERT(verifier.result().broken_at == static_cast<std::int64_t>(victim) + 1);
  }));
}

}  // namespace
}  // namespace boxfettle
