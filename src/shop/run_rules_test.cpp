#include <gtest/gtest.h>

#include "shop/care_clock.hpp"
#include "shop/invented_requests.hpp"
#include "shop/logbook.hpp"
#include "shop/run_phase.hpp"
#include "shop/sentence.hpp"

namespace boxfettle {
namespace {

using namespace std::chrono_literals;

const Person asha{"Asha", Role::operator_};
const Person bo{"Bo", Role::tooling};
const Person quinn{"Quinn", Role::quality};

// One box, its logbook, and a clock that the test moves on.
class RunOfABox : public testing::Test {
 protected:
  RunOfABox() {
    state_.box = "TM-0412";
    ask(bo, RegisterBox{volute_box()});
  }

  // Empty when it was done; else what the refusal says.
  template <class What>
  std::string ask(const Person& who, What what) {
    const Request request{"request-" + std::to_string(++asked_), "TM-0412", std::move(what)};
    Standing standing{.now = now_};
    standing.run_shots = shots_;
    const auto answer = decide(state_, request, who, shipped_catalogue(), standing);
    if (const auto* refusal = std::get_if<Refusal>(&answer)) return refusal->what + " " + refusal->mend;
    for (const Entry& entry :
         append(head_, {now_, who.name, request.id, request.box, std::get<std::vector<EntryBody>>(answer)})) {
      head_ = head_after(entry);
      fold_into(state_, entry);
      last_ = entry;
    }
    return "";
  }
  template <class Body>
  std::string tell(const Person& who, Body body) {
    return ask(who, Tell{std::move(body)});
  }

  InspectBox every_checkpoint(const std::string& failed = "") {
    InspectBox inspection;
    for (const Checkpoint& point : shipped_catalogue().checkpoints)
      inspection.results.push_back(
          {.checkpoint = point.id, .passed = point.id != failed, .measured = {}, .unit = "", .remark = ""});
    return inspection;
  }
  RunOpened a_run(std::vector<std::string> pieces = {}) {
    RunOpened run;
    run.station = "Station 2";
    run.batch = "B-77";
    run.planned = 200;
    run.pieces = std::move(pieces);
    return run;
  }
  void open_a_run() {
    ASSERT_EQ(ask(asha, every_checkpoint()), "");
    ASSERT_EQ(tell(asha, a_run()), "");
  }
  void good_first_pieces(int count = 5) {
    for (int i = 0; i < count; ++i) ASSERT_EQ(tell(asha, FirstPieceLooked{"", 0, true, {}, ""}), "");
  }
  RunPhase phase() { return run_phase(state_, shipped_catalogue(), shots_, now_); }
  CareStanding care(const std::string& id) {
    for (const CareStanding& one : care_standing(state_.runs, shots_, now_))
      if (one.rule.id == id) return one;
    return {};
  }

  BoxState state_;
  Head head_;
  Entry last_;
  UtcTime now_ = UtcTime::parse("2026-11-26T05:45:00Z");
  std::int64_t shots_ = 0;
  int asked_ = 0;
};

TEST_F(RunOfABox, OpensOnlyAfterTheOpeningInspection) {
  EXPECT_NE(tell(asha, a_run()).find("opening inspection is not done"), std::string::npos);
  ASSERT_EQ(ask(asha, every_checkpoint()), "");
  now_ = now_ + 25h;
  EXPECT_NE(tell(asha, a_run()).find("opening inspection is not done"), std::string::npos)
      << "a day later it is stale";
  ASSERT_EQ(ask(asha, every_checkpoint()), "");
  EXPECT_EQ(tell(asha, a_run()), "");
  EXPECT_EQ(state_.runs.open->opened.run, "TM-0412/1");
  EXPECT_EQ(state_.place, (Place{Place::Kind::station, "Station 2"}));
}

TEST_F(RunOfABox, CountsOnOnlyAfterFiveGoodPiecesInARow) {
  open_a_run();
  good_first_pieces(4);
  EXPECT_EQ(phase().at, RunPhase::At::first_pieces);
  ASSERT_EQ(tell(asha, FirstPieceLooked{"", 0, false, {}, "fin at the print"}), "");
  good_first_pieces(4);
  EXPECT_EQ(phase().at, RunPhase::At::first_pieces) << "the bad one starts the row anew";
  good_first_pieces(1);
  EXPECT_EQ(phase().at, RunPhase::At::running);
  EXPECT_EQ(state_.runs.open->first_pieces.back().number, 10);
}

TEST_F(RunOfABox, AFirstPieceIsMeasuredForWhatTheBoxAsks) {
  ASSERT_EQ(tell(bo, FirstPiecesChosen{1, {"core weight"}}), "");
  open_a_run();
  EXPECT_NE(tell(asha, FirstPieceLooked{"", 0, true, {}, ""}).find("core weight"), std::string::npos);
  EXPECT_NE(
      tell(asha, FirstPieceLooked{"", 0, true, {{"core weight", 2.61, "kg", false}}, ""}).find("outside"),
      std::string::npos);
  ASSERT_EQ(tell(asha, FirstPieceLooked{"", 0, true, {{"core weight", 2.52, "kg", true}}, ""}), "");
  EXPECT_EQ(phase().at, RunPhase::At::running);
}

TEST_F(RunOfABox, VentsFallDueByRunningTimeNotByTheWallClock) {
  open_a_run();
  good_first_pieces();
  now_ = now_ + 50min;
  ASSERT_EQ(tell(asha, RunPaused{"", "sand hopper empty"}), "");
  now_ = now_ + 45min;
  ASSERT_EQ(tell(asha, RunResumed{}), "");
  EXPECT_EQ(care("vents").how, CareStanding::How::not_yet);
  EXPECT_NEAR(*care("vents").minutes_left, 10, 1e-9);
  now_ = now_ + 12min;
  EXPECT_EQ(care("vents").how, CareStanding::How::due);
  now_ = now_ + 10min;
  EXPECT_EQ(care("vents").how, CareStanding::How::overdue);
  EXPECT_EQ(phase().at, RunPhase::At::running);
  now_ = now_ + 59min;
  EXPECT_EQ(care("vents").how, CareStanding::How::stops_work);
  EXPECT_EQ(phase().at, RunPhase::At::stopped);
  ASSERT_EQ(tell(asha, CareDone{"", "vents", 120, ""}), "");
  EXPECT_EQ(phase().at, RunPhase::At::running);
  EXPECT_NEAR(*care("vents").minutes_left, 60, 1e-9);
}

TEST_F(RunOfABox, CareByShotsOrDaysFallsDueAtWhicheverComesFirst) {
  CareRule grease{"guide", "Grease the guide pins", "A drop on each pin.", "", false, 0, 100, 7, 0, 0};
  ASSERT_EQ(tell(bo, CareChosen{{grease}, "stiff guides"}), "");
  open_a_run();
  ASSERT_EQ(tell(asha, CareDone{"", "guide", 0, ""}), "");
  shots_ = 99;
  EXPECT_EQ(care("guide").how, CareStanding::How::not_yet);
  shots_ = 100;
  EXPECT_EQ(care("guide").how, CareStanding::How::due);
  shots_ = 5;
  now_ = now_ + 24h * 7;
  EXPECT_EQ(care("guide").how, CareStanding::How::due) << "a week on, however few the shots";
}

TEST_F(RunOfABox, ASafetyHoldStopsARunAndNothingButMendingLetsItGoOn) {
  open_a_run();
  good_first_pieces();
  ASSERT_EQ(ask(asha, every_checkpoint("handles")), "");
  EXPECT_EQ(phase().at, RunPhase::At::stopped);
  ASSERT_EQ(tell(asha, RunPaused{"", "handle loose"}), "");
  EXPECT_NE(tell(asha, RunResumed{}).find("may not go on"), std::string::npos);
  Conceded waiver;
  waiver.why = "one shift more";
  waiver.until = now_ + 8h;
  waiver.shots = 100;
  EXPECT_NE(tell(quinn, waiver).find("no concession"), std::string::npos);
  ASSERT_EQ(ask(bo, every_checkpoint()), "");
  ASSERT_EQ(ask(bo, ReleaseBox{"stud renewed"}), "");
  EXPECT_EQ(tell(asha, RunResumed{}), "");
  EXPECT_EQ(phase().at, RunPhase::At::running);
}

TEST_F(RunOfABox, AConcessionRunsOutByShotsOrByTime) {
  ASSERT_EQ(ask(asha, every_checkpoint("parting-face")), "");
  EXPECT_NE(tell(asha, a_run()).find("may not run"), std::string::npos);
  Conceded given;
  given.why = "dent is off the core";
  given.until = now_ + 8h;
  given.shots = 50;
  EXPECT_NE(tell(asha, given).find("cannot"), std::string::npos) << "not an operator's to give";
  ASSERT_EQ(tell(quinn, given), "");
  ASSERT_EQ(tell(asha, a_run()), "");
  good_first_pieces();
  EXPECT_EQ(phase().at, RunPhase::At::running);
  shots_ = 50;
  EXPECT_EQ(phase().at, RunPhase::At::stopped);
  shots_ = 49;
  EXPECT_EQ(phase().at, RunPhase::At::running);
  now_ = now_ + 8h;
  EXPECT_EQ(phase().at, RunPhase::At::stopped);
}

TEST_F(RunOfABox, AConcessionGivenInTheMiddleOfARunCountsFromThere) {
  open_a_run();
  good_first_pieces();
  shots_ = 300;
  ASSERT_EQ(ask(asha, every_checkpoint("parting-face")), "");
  Conceded given;
  given.why = "dent is off the core";
  given.until = now_ + 8h;
  given.shots = 50;
  ASSERT_EQ(tell(quinn, given), "");
  EXPECT_EQ(phase().at, RunPhase::At::running) << "the 300 before it are not counted against it";
  shots_ = 350;
  EXPECT_EQ(phase().at, RunPhase::At::stopped);
}

TEST_F(RunOfABox, ARunNeedsEveryLoosePieceByItsLabel) {
  ASSERT_EQ(tell(bo, PieceRegistered{"TM-0412-A", "Port former", "Rack B, bay 3, tray"}), "");
  ASSERT_EQ(tell(bo, PieceRegistered{"TM-0412-B", "Drain boss", "Rack B, bay 3, tray"}), "");
  ASSERT_EQ(ask(asha, every_checkpoint()), "");
  EXPECT_NE(tell(asha, a_run({"TM-0412-A"})).find("TM-0412-B (Drain boss) is not confirmed"),
            std::string::npos);
  EXPECT_NE(tell(asha, a_run({"TM-0412-A", "TM-0412-B", "TM-0409-A"})).find("does not belong"),
            std::string::npos);
  ASSERT_EQ(tell(asha, a_run({"TM-0412-A", "TM-0412-B"})), "");

  RunClosed end;
  end.made = 120;
  end.pieces = {"TM-0412-A"};
  ASSERT_EQ(tell(asha, end), "");
  const Verdict after = verdict(state_, shipped_catalogue(), now_);
  EXPECT_EQ(after.state, Fitness::hold);
  EXPECT_EQ(after.reasons.front().text,
            "Loose piece TM-0412-B (Drain boss) is missing. Run TM-0412/1 had it last.");
  EXPECT_EQ(untraced_doubts(state_), std::vector<std::string>{"pieces"})
      << "cores may have been made without it";

  now_ = now_ + 1h;
  ASSERT_EQ(ask(asha, every_checkpoint()), "");
  EXPECT_NE(tell(asha, a_run({"TM-0412-A"})).find("had it last"), std::string::npos);
  EXPECT_EQ(tell(asha, a_run({"TM-0412-A", "TM-0412-B"})), "") << "read by its label, so it is found";
}

TEST_F(RunOfABox, ABoxHandedBackDamagedIsHeldAtOnce) {
  open_a_run();
  RunClosed end;
  end.made = 20;
  end.bad = 21;
  EXPECT_NE(tell(asha, end).find("More bad cores"), std::string::npos);
  end.bad = 3;
  end.condition = RunClosed::Condition::damaged;
  EXPECT_NE(tell(asha, end).find("What is wrong"), std::string::npos);
  end.remark = "dropped, corner of the upper half";
  ASSERT_EQ(tell(asha, end), "");
  EXPECT_EQ(verdict(state_, shipped_catalogue(), now_).state, Fitness::hold);
  EXPECT_EQ(state_.runs.made, 20);
}

TEST_F(RunOfABox, AShiftHandsOverWithItsCount) {
  open_a_run();
  good_first_pieces();
  ASSERT_EQ(tell(asha, HandedOver{"", "Ravi", 84, "vents done at half past"}), "");
  EXPECT_EQ(state_.runs.open->in_charge, "Ravi");
  EXPECT_NE(tell(asha, HandedOver{"", "Asha", 80, ""}).find("cannot be fewer"), std::string::npos);
}

TEST_F(RunOfABox, AScrappedOrQuarantinedBoxNeverRuns) {
  ASSERT_EQ(ask(asha, every_checkpoint()), "");
  ASSERT_EQ(tell(asha, Quarantined{"cracked core at the customer's"}), "");
  EXPECT_NE(tell(asha, a_run()).find("may not run"), std::string::npos);
  EXPECT_NE(tell(asha, QuarantineLifted{"all good"}).find("cannot"), std::string::npos);
  ASSERT_EQ(tell(quinn, QuarantineLifted{"unrelated"}), "");
  ASSERT_EQ(tell(bo, Scrapped{"worn through"}), "");
  EXPECT_NE(tell(asha, a_run()).find("Scrapped"), std::string::npos);
}

TEST_F(RunOfABox, StopsWhenTheBoxIsToldToBeSomewhereElse) {
  open_a_run();
  good_first_pieces();
  ASSERT_EQ(phase().at, RunPhase::At::running);
  ASSERT_EQ(ask(asha, MoveBox{{Place::Kind::missing, ""}}), "");
  EXPECT_EQ(phase().at, RunPhase::At::stopped);
  EXPECT_NE(phase().why.front().find("Read its label there to move it back"), std::string::npos);
  ASSERT_EQ(ask(asha, MoveBox{{Place::Kind::station, "Station 2"}}), "");
  EXPECT_EQ(phase().at, RunPhase::At::running);
}

TEST_F(RunOfABox, DoesNotOpenWhileHandsAreInTheBox) {
  ASSERT_EQ(ask(asha, every_checkpoint()), "");
  ASSERT_EQ(tell(bo, JobRaised{"", "bush worn", "fitting", 2, {}, 0, ""}), "");
  ASSERT_EQ(tell(bo, JobStarted{"TM-0412/J1", "Yusuf"}), "");
  EXPECT_NE(tell(asha, a_run()).find("Yusuf is at work on this box"), std::string::npos);
  ASSERT_EQ(tell(bo, JobDone{"TM-0412/J1", 2, ""}), "");
  EXPECT_EQ(tell(asha, a_run()), "");
}

TEST_F(RunOfABox, ALoosePieceAtAnotherStationIsNotInTheRun) {
  ASSERT_EQ(tell(bo, PieceRegistered{"TM-0412-A", "Port former", "Rack B"}), "");
  ASSERT_EQ(ask(asha, every_checkpoint()), "");
  ASSERT_EQ(tell(asha, a_run({"TM-0412-A"})), "");
  good_first_pieces();
  ASSERT_EQ(phase().at, RunPhase::At::running);
  ASSERT_EQ(tell(asha, PieceMoved{"TM-0412-A", {Place::Kind::station, "Station 1"}}), "");
  EXPECT_EQ(phase().at, RunPhase::At::stopped);
}

}  // namespace
}  // namespace boxfettle
