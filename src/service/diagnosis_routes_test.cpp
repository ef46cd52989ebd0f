#include <gmock/gmock.h>

#include "service/served_shop.hpp"
#include "shop/fault_network.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing_client::Answer;

class DiagnosedShop : public ServedShop {
 protected:
  Answer tell(const std::string& kind, json body, const std::string& at = "/api/boxes/TM-0412") {
    body["request"] = "request-" + std::to_string(++told_);
    return ask(
        {.method = "POST", .target = at + "/told/" + kind, .body = body.dump(), .type = "application/json"});
  }
  json diagnosis() { return json::parse(ask({.target = "/api/boxes/TM-0412/diagnosis"}).body); }
  json learning() { return json::parse(ask({.target = "/api/diagnosis/learning"}).body); }
  json learnt_of(const std::string& fault) {
    const json told = learning();
    for (const json& one : told["faults"])
      if (one["id"] == fault) return one;
    return {};
  }
  Answer look(const std::string& checkpoint, bool passed) {
    return inspect({{"request", "request-" + std::to_string(++told_)},
                    {"results", json::array({json{{"checkpoint", checkpoint}, {"passed", passed}}})}});
  }
  int told_ = 0;
};

TEST_F(DiagnosedShop, NothingWrongIsToldAsNoDoubt) {
  open_as("Ada", "sand and resin");
  const json told = diagnosis();
  EXPECT_FALSE(told.contains("since"));
  EXPECT_TRUE(told["evidence"].empty());
  EXPECT_EQ(told["faults"].size(), shipped_faults().faults.size());
  EXPECT_EQ(told["origin"], "common practice, from memory");
  EXPECT_EQ(ask({.target = "/api/boxes/TM-9999/diagnosis"}).status, 404);
}

TEST_F(DiagnosedShop, ABadCoreLeadsToTheNextCheckAndTheCheckToTheCause) {
  open_as("Ada", "sand and resin");
  ASSERT_EQ(tell("defect-seen", {{"defect", "not-filled"}, {"count", 3}}).status, 201);
  json told = diagnosis();
  ASSERT_EQ(told["evidence"].size(), 1u);
  EXPECT_EQ(told["evidence"][0]["entry"], box_page()["logbook"][0]["seq"]);
  EXPECT_EQ(told["checks"][0]["checkpoint"], "vents");
  EXPECT_THAT(std::string(told["checks"][0]["sentence"]), HasSubstr("Look at the vents next: 4 minutes"));
  EXPECT_THAT(std::string(told["checks"][0]["caution"]), HasSubstr("eye protection"));
  ASSERT_EQ(look("vents", false).status, 201);
  told = diagnosis();
  EXPECT_EQ(told["faults"][0]["id"], "vents-plugged");
  EXPECT_EQ(told["faults"][0]["explains"].size(), 2u);
  EXPECT_GT(told["faults"][0]["probability"], told["faults"][0]["before"]);
  EXPECT_NE(told["checks"][0]["checkpoint"], "vents");
}

TEST_F(DiagnosedShop, AConfirmedCauseClosesTheDoubtAndTeachesWithWhatWasFound) {
  open_as("Ada", "sand and resin");
  ASSERT_EQ(tell("defect-seen", {{"defect", "not-filled"}}).status, 201);
  ASSERT_EQ(look("vents", false).status, 201);
  const double before = learnt_of("vents-plugged")["prior"]["now"];
  const Answer confirmed = tell("cause-confirmed", {{"fault", "vents-plugged"}});
  ASSERT_EQ(confirmed.status, 201) << confirmed.body;
  const json told = diagnosis();
  EXPECT_FALSE(told.contains("since"));
  ASSERT_EQ(told["confirmed"].size(), 1u);
  EXPECT_EQ(told["confirmed"][0]["title"], "Vents plugged");
  EXPECT_EQ(told["confirmed"][0]["seen"], json::array({"not-filled", "vents"}));
  EXPECT_EQ(told["causes_learnt"], 1);
  const json learnt = learnt_of("vents-plugged");
  EXPECT_EQ(learnt["prior"]["yes"], 1);
  EXPECT_GT(learnt["prior"]["now"], before);
  EXPECT_THAT(std::string(box_page()["logbook"][0]["text"]), HasSubstr("Cause found: Vents plugged"));
}

TEST_F(DiagnosedShop, WhatWasLearntIsSetBackByQualityOrToolingAlone) {
  open_as("Ada", "sand and resin");
  ASSERT_EQ(tell("cause-confirmed", {{"fault", "vents-plugged"}}).status, 201);
  EXPECT_EQ(tell("learning-reset", {{"why", "new vents"}}, "/api/shop").status, 409);
  close();
  open_as("Bo", "dowels and bushes");
  EXPECT_EQ(tell("learning-reset", {{"why", "new vents"}}).status, 422)
      << "belongs to the shop, not to a box";
  EXPECT_EQ(tell("learning-reset", {{"fault", "no-such"}, {"why", "x"}}, "/api/shop").status, 422);
  const Answer reset = tell("learning-reset", {{"why", "new vents"}}, "/api/shop");
  ASSERT_EQ(reset.status, 201) << reset.body;
  EXPECT_EQ(learning()["causes"], 0);
  const json prior = learnt_of("vents-plugged")["prior"];
  EXPECT_DOUBLE_EQ(prior["now"], prior["shipped"]);
}

TEST_F(DiagnosedShop, ACauseThatIsNotInTheListIsRefusedWithWhatToDo) {
  open_as("Ada", "sand and resin");
  const Answer unknown = tell("cause-confirmed", {{"fault", "gremlins"}});
  EXPECT_EQ(unknown.status, 422);
  EXPECT_THAT(unknown.body, HasSubstr("choose from the list"));
  EXPECT_EQ(tell("cause-confirmed", {{"fault", "vents-plugged"}, {"seen", {"wobbly"}}}).status, 422);
}

}  // namespace
}  // namespace boxfettle
