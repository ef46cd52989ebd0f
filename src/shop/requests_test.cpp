#include "shop/requests.hpp"

#include <gmock/gmock.h>

#include <algorithm>

#include "input/input_error.hpp"
#include "shop/invented_requests.hpp"
#include "shop/logbook.hpp"

namespace boxfettle {
namespace {

const Person operator_ravi{"Ravi", Role::operator_};
const Person supervisor_asha{"Asha", Role::supervisor};

// A box with its logbook, asked one thing after the other.
class Shop {
 public:
  Shop() {
    state_.box = "TM-0412";
    ask(RegisterBox{volute_box()}, supervisor_asha);
  }

  // Empty when it was done; else what the refusal says to do next.
  template <class What>
  std::string ask(What what, const Person& person) {
    return ask(Request{"request-" + std::to_string(++asked_), "TM-0412", std::move(what)}, person);
  }

  std::string ask(const Request& request, const Person& person) {
    const auto answer = decide(state_, request, person, shipped_catalogue(), Standing{});
    if (const auto* refusal = std::get_if<Refusal>(&answer)) return refusal->mend;
    const Draft draft{{}, person.name, request.id, request.box, std::get<std::vector<EntryBody>>(answer)};
    for (const Entry& entry : append(head_, draft)) {
      head_ = head_after(entry);
      state_ = fold(std::move(state_), entry);
    }
    return "";
  }

  std::string inspect(const std::string& checkpoint, bool passed) {
    return ask(InspectBox{{{checkpoint, passed, {}, "", passed ? "" : "loose"}}}, operator_ravi);
  }

  const BoxState& state() const { return state_; }
  std::int64_t entries() const { return head_.seq; }

 private:
  BoxState state_;
  Head head_;
  int asked_ = 0;
};

TEST(Requests, ALooseHandleHoldsTheBoxInTheSameBreath) {
  Shop shop;
  EXPECT_EQ(shop.inspect("handles", false), "");
  ASSERT_EQ(shop.state().holds.size(), 1u);
  EXPECT_TRUE(shop.state().holds[0].held.safety);
  EXPECT_EQ(shop.state().holds[0].held.checkpoint, "handles");
  EXPECT_EQ(shop.inspect("handles", false), "");
  EXPECT_EQ(shop.state().holds.size(), 1u) << "the second look does not put on a second hold";
}

TEST(Requests, APlayBeyondHalfOfTheMismatchLimitCannotPass) {
  Shop shop;
  const auto dowels = [](bool passed, double measured) {
    return InspectBox{{{"dowels", passed, measured, "", passed ? "" : "bush worn"}}};
  };
  const double half = volute_box().limits.mismatch_mm / 2;
  EXPECT_EQ(shop.ask(dowels(true, half), operator_ravi), "");
  EXPECT_THAT(shop.ask(dowels(true, half + 0.01), operator_ravi),
              testing::HasSubstr("say that the checkpoint fails"));
  EXPECT_THAT(shop.ask(dowels(true, -0.01), operator_ravi), testing::HasSubstr("Measure again"));
  EXPECT_EQ(shop.ask(dowels(false, half + 0.01), operator_ravi), "");
}

TEST(Requests, ASafetyHoldIsReleasedOnlyAfterItsCheckpointPassed) {
  Shop shop;
  shop.inspect("handles", false);
  EXPECT_THAT(shop.ask(ReleaseBox{"needed tonight"}, supervisor_asha),
              testing::HasSubstr("inspect 'Handles"));
  shop.inspect("dowels", true);
  EXPECT_NE(shop.ask(ReleaseBox{"needed tonight"}, supervisor_asha), "")
      << "another checkpoint proves nothing";
  shop.inspect("handles", true);
  EXPECT_EQ(shop.ask(ReleaseBox{"handle welded and pulled"}, supervisor_asha), "");
  EXPECT_TRUE(shop.state().holds.empty());
}

TEST(Requests, AnOldPassDoesNotLiftANewSafetyHold) {
  Shop shop;
  shop.inspect("handles", true);
  shop.ask(HoldBox{"handle came off", true, "handles"}, operator_ravi);
  EXPECT_NE(shop.ask(ReleaseBox{"it passed this morning"}, supervisor_asha), "");
}

TEST(Requests, AnOperatorMayHoldButNotRelease) {
  Shop shop;
  EXPECT_EQ(shop.ask(HoldBox{"cores stick", false, ""}, operator_ravi), "");
  EXPECT_THAT(shop.ask(ReleaseBox{"looks fine"}, operator_ravi), testing::HasSubstr("supervisor"));
  EXPECT_EQ(shop.ask(ReleaseBox{"cleaned and tried"}, supervisor_asha), "");
}

TEST(Requests, AFitterMayNotReleaseButQualityAndToolingMay) {
  for (const auto& [role, may] :
       {std::pair{Role::fitter, false}, {Role::quality, true}, {Role::tooling, true}}) {
    Shop shop;
    shop.ask(HoldBox{"cores stick", false, ""}, operator_ravi);
    EXPECT_EQ(shop.ask(ReleaseBox{"cleaned"}, {"Lena", role}).empty(), may) << name(role);
  }
}

TEST(Requests, ASafetyHoldMustSayWhatHasToPass) {
  Shop shop;
  EXPECT_THAT(shop.ask(HoldBox{"it looks wrong", true, ""}, operator_ravi),
              testing::HasSubstr("Choose the checkpoint"));
}

TEST(Requests, ABoxNobodyKnowsIsRefusedWithWhatToDo) {
  BoxState unknown;
  unknown.box = "TM-9999";
  const auto answer = decide(unknown, {"request-1", "TM-9999", WriteNote{"hello"}}, operator_ravi,
                             shipped_catalogue(), Standing{});
  ASSERT_TRUE(std::holds_alternative<Refusal>(answer));
  EXPECT_THAT(std::get<Refusal>(answer).what, testing::HasSubstr("TM-9999"));
}

TEST(Requests, ABoxWithoutAHoldCannotBeReleased) {
  Shop shop;
  EXPECT_THAT(shop.ask(ReleaseBox{"why not"}, supervisor_asha),
              testing::HasSubstr("inspect again what failed"));
}

TEST(Requests, ACheckpointOutsideTheCatalogueIsBadInput) {
  Shop shop;
  EXPECT_THROW(shop.inspect("hinges", true), InputError);
}

TEST(Requests, TheUnitOfAMeasureIsTheCataloguesNotTheSenders) {
  Shop shop;
  shop.ask(InspectBox{{{"dowels", true, 0.05, "furlongs", ""}}}, operator_ravi);
  EXPECT_EQ(shop.state().results.at("dowels").result.unit, "mm");
}

// An entry that has a request of its own cannot be told past that request's rules.
TEST(Requests, AReleaseCannotBeToldAsABareEntry) {
  Shop shop;
  shop.inspect("handles", false);
  EXPECT_THROW(shop.ask(Tell{Released{"needed tonight", {3}}}, supervisor_asha), InputError);
  EXPECT_THROW(shop.ask(Tell{Inspected{1, {{"handles", true, {}, "", ""}}}}, supervisor_asha), InputError);
  EXPECT_EQ(shop.state().holds.size(), 1u);
}

TEST(Requests, WhatSomebodyElseToldOfTheSameMeanwhileIsNotWrittenOver) {
  Shop shop;
  const std::int64_t seen = shop.entries();
  shop.ask(InspectBox{{{"dowels", false, 0.3, "", "bell-mouthed"}}}, supervisor_asha);
  const auto looked = [&](const std::string& id, const std::string& checkpoint) {
    return shop.ask(Request{id, "TM-0412", InspectBox{{{checkpoint, true, {}, "", ""}}}, seen},
                    operator_ravi);
  };
  EXPECT_THAT(looked("offline-1", "dowels"), testing::HasSubstr("see what was told"));
  EXPECT_FALSE(shop.state().results.at("dowels").result.passed);
  EXPECT_EQ(looked("offline-2", "vents"), "") << "another checkpoint is another matter";
  EXPECT_EQ(shop.ask(Request{"offline-3", "TM-0412", WriteNote{"ran quietly"}, seen}, operator_ravi), "");
}

TEST(Requests, SendingEverythingTwiceChangesNothing) {
  EXPECT_TRUE(rc::check([] {
    const auto requests = any_days_work();
    const Person person = any_person();
    Shop once, twice;
    for (const Request& request : requests) {
      once.ask(request, person);
      twice.ask(request, person);
      twice.ask(request, person);
    }
    for (const Request& request : requests) {
      const auto answer = decide(twice.state(), request, person, shipped_catalogue(), Standing{});
      if (twice.state().requests.contains(request.id)) RC_ASSERT(std::get<0>(answer).empty());
    }
    RC_ASSERT(once.entries() == twice.entries());
    RC_ASSERT(once.state() == twice.state());
  }));
}

// A safety hold that was open and is gone: its checkpoint was last seen passed, and after the hold was put
// on.
TEST(Requests, NoSequenceOfRequestsLiftsASafetyHoldWithoutAPassedRecheck) {
  EXPECT_TRUE(rc::check([] {
    Shop shop;
    for (const Request& request : any_days_work()) {
      const BoxState before = shop.state();
      shop.ask(request, {"Asha", *rc::gen::element(Role::operator_, Role::supervisor, Role::tooling)});
      for (const OpenHold& hold : before.holds) {
        const auto& holds = shop.state().holds;
        if (!hold.held.safety || std::find(holds.begin(), holds.end(), hold) != holds.end()) continue;
        RC_ASSERT(before.results.contains(hold.held.checkpoint));
        RC_ASSERT(before.results.at(hold.held.checkpoint).result.passed);
        RC_ASSERT(before.results.at(hold.held.checkpoint).entry > hold.entry);
      }
    }
  }));
}

}  // namespace
}  // namespace boxfettle
