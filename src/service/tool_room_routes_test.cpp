#include <gmock/gmock.h>

#include "service/served_shop.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;
using testing_client::Answer;

class ToolRoomOnThePage : public ServedShop {
 protected:
  json done(const std::string& target, json body) {
    body["request"] = "request-" + std::to_string(++told_);
    const Answer answer = ask({.method = "POST", .target = target, .body = body.dump(), .type = "application/json"});
    EXPECT_EQ(answer.status, 201) << answer.body;
    return json::parse(answer.body);
  }
  json of_box(const std::string& kind, json body) { return done("/api/boxes/TM-0412/told/" + kind, std::move(body)); }
  json of_shop(const std::string& kind, json body) { return done("/api/shop/told/" + kind, std::move(body)); }
  json plan() { return json::parse(ask({.target = "/api/tool-room/plan"}).body); }

  // Works round the clock, so that a test does not depend on the hour it runs at.
  void hire(const std::string& fitter, const std::string& skill) {
    of_shop("fitter-hours", {{"fitter", fitter},
                             {"skills", json::array({skill})},
                             {"from_minute", 0},
                             {"to_minute", 24 * 60},
                             {"weekdays", {1, 2, 3, 4, 5, 6, 7}}});
  }
  int told_ = 0;
};

TEST_F(ToolRoomOnThePage, AFindingBecomesAProposalThenAJobThenIsDone) {
  open_as("Bo", "dowels and bushes");
  ASSERT_EQ(inspect(inspection("request-look", "seals")).status, 201);
  hire("Bo", "fitting");
  const json proposal = plan()["proposals"].at(0);
  EXPECT_EQ(proposal["box"], "TM-0412");
  of_box("job-raised", {{"what", proposal["what"]},
                        {"skill", proposal["skill"]},
                        {"hours", proposal["hours"]},
                        {"parts", proposal["parts"]},
                        {"from_entry", proposal["from_entry"]}});
  json now = plan();
  EXPECT_TRUE(now["proposals"].empty());
  ASSERT_EQ(now["fitters"].size(), 1u);
  ASSERT_EQ(now["fitters"][0]["jobs"].size(), 1u);
  const std::string job = now["fitters"][0]["jobs"][0]["job"];
  of_box("job-started", {{"job", job}, {"fitter", "Bo"}});
  EXPECT_EQ(plan()["fitters"][0]["jobs"][0]["begun"], true);
  of_box("job-done", {{"job", job}, {"hours", 1}});
  now = plan();
  EXPECT_TRUE(now["fitters"][0]["jobs"].empty());
  EXPECT_TRUE(now["proposals"].empty());
}

TEST_F(ToolRoomOnThePage, ARunThatCannotBeInTimeSaysWhichJobHoldsItUpAndWhy) {
  open_as("Bo", "dowels and bushes");
  hire("Bo", "fitting");
  of_box("job-raised", {{"what", "Scrape the face"}, {"skill", "fitting"}, {"hours", 6}});
  of_box("run-planned", {{"start", (clock_time() + std::chrono::hours(2)).iso()}, {"quantity", 100}, {"importance", 1}});
  json run = plan()["runs"].at(0);
  EXPECT_EQ(run["late"], true);
  EXPECT_GE(run["hours_late"], 4);
  EXPECT_LE(run["hours_late"], 4.5);
  EXPECT_EQ(run["held_up"]["job"], "TM-0412/J1");
  EXPECT_EQ(run["held_up"]["why"], "work");
  EXPECT_EQ(plan()["proven"], true);
  of_box("job-raised", {{"what", "Weld"}, {"skill", "welding"}, {"hours", 1}});
  run = plan()["runs"].at(0);
  EXPECT_EQ(run["late"], true);
  EXPECT_FALSE(run.contains("ready"));
  EXPECT_EQ(run["never"]["why"], "no-fitter");
  EXPECT_EQ(run["never"]["lacks"], "welding");
}

TEST_F(ToolRoomOnThePage, ASpareThatIsMissingIsShownWithTheJobThatWaitsForIt) {
  open_as("Bo", "dowels and bushes");
  hire("Bo", "fitting");
  of_box("job-raised", {{"what", "Renew pins"}, {"skill", "fitting"}, {"hours", 2}, {"parts", json::array({json{{"spare", "PIN-12-H"}, {"count", 2}}})}});
  json now = plan();
  EXPECT_EQ(now["not_planned"].at(0)["why"], "no-spare");
  EXPECT_EQ(now["spares"].at(0)["missing"], 2);
  of_shop("spare-counted", {{"spare", "PIN-12-H"}, {"count", 3}, {"minimum", 2}});
  now = plan();
  EXPECT_TRUE(now["not_planned"].empty());
  EXPECT_EQ(now["spares"].at(0)["missing"], 0);
  EXPECT_EQ(now["fitters"][0]["jobs"].size(), 1u);
}

class LookingIn : public ToolRoomOnThePage {};

TEST_F(LookingIn, TellsWhatOthersChangedSinceAndWhatIsDue) {
  open_as("Ada", "sand and resin");
  const json before = json::parse(ask({.target = "/api/notices"}).body);
  of_box("note", {{"text", "my own"}});
  json now = json::parse(ask({.target = "/api/notices?since=" + before["last_entry"].dump()}).body);
  EXPECT_TRUE(now["changed"].empty());
  EXPECT_EQ(now["last_entry"], before["last_entry"].get<int>() + 1);
  EXPECT_EQ(now["overdue"].at(0)["id"], "inspection TM-0412");  // never looked at
  EXPECT_EQ(ask({.target = "/api/notices?since=x"}).status, 422);
}

TEST_F(LookingIn, TheCalendarOpensWithItsTokenAloneAndTheTokenOpensNothingElse) {
  open_as("Ada", "sand and resin");
  const std::string path = json::parse(ask({.target = "/api/notices"}).body)["calendar"];
  const std::string token = path.substr(path.find("token=") + 6);
  cookie_ = "boxfettle=none";
  const Answer calendar = ask({.target = path});
  EXPECT_EQ(calendar.status, 200);
  EXPECT_THAT(calendar.headers.at("content-type"), testing::StartsWith("text/calendar"));
  EXPECT_THAT(calendar.body, testing::StartsWith("BEGIN:VCALENDAR\r\n"));
  EXPECT_EQ(ask({.target = "/calendar.ics?token=" + std::string(64, '0')}).status, 401);
  EXPECT_EQ(ask({.target = "/calendar.ics"}).status, 401);
  cookie_ = "boxfettle=" + token;
  EXPECT_EQ(ask({.target = "/api/floor"}).status, 401);
}

}  // namespace
}  // namespace boxfettle
