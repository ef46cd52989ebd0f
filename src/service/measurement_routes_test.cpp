#include <gmock/gmock.h>

#include <cmath>

#include "service/served_shop.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing_client::Answer;
using testing_client::Sent;
using testing_client::Wire;

class AWeighingBench : public ServedShop {
 protected:
  AWeighingBench() { open_as("Ada", "sand and resin"); }

  Answer enter(const std::string& body) {
    return ask({.method = "POST",
                .target = "/api/boxes/TM-0412/measurements",
                .body = body,
                .type = "application/json"});
  }
  json weighed(double grams) {
    return {{"request", "weighed-" + std::to_string(++entered_)},
            {"of", "core weight"},
            {"unit", "g"},
            {"value", grams}};
  }
  Answer strike(const json& body) {
    return ask({.method = "POST",
                .target = "/api/boxes/TM-0412/measurements/struck",
                .body = body.dump(),
                .type = "application/json"});
  }
  void weigh(double grams) { ASSERT_EQ(enter(weighed(grams).dump()).status, 201); }
  // No two neighbours alike, no run: a bench where nothing happens.
  static double quiet_weight(int i, double centre) { return centre + 1.2 * std::sin(2.4 * i); }

  Answer chart(const std::string& query = "") {
    return ask({.target = "/api/boxes/TM-0412/chart?of=core%20weight" + query});
  }
  json values(const std::string& query = "?of=core%20weight") {
    return json::parse(ask({.target = "/api/boxes/TM-0412/measurements" + query}).body);
  }

  int entered_ = 0;
};

TEST_F(AWeighingBench, AWeightIsKeptWithItsNumberAndWhoWeighed) {
  json first = weighed(412.3);
  first["run"] = "R-1183";
  const Answer kept = enter(first.dump());
  ASSERT_EQ(kept.status, 201) << kept.body;
  weigh(411.9);
  const json told = values();
  EXPECT_EQ(told["characteristics"][0]["of"], "core weight");
  EXPECT_EQ(told["characteristics"][0]["unit"], "g");
  EXPECT_EQ(told["characteristics"][0]["values"], 2);
  EXPECT_EQ(told["values"][0], json::parse(kept.body));
  EXPECT_EQ(told["values"][0]["run"], "R-1183");
  EXPECT_EQ(told["values"][1]["number"], 2);
  EXPECT_EQ(told["values"][1]["who"], "Ada");
  EXPECT_EQ(values("")["values"], json::array()) << "nobody asked of what";
  EXPECT_TRUE(box_page()["logbook"].size() == 1) << "a weight is no entry";
}

TEST_F(AWeighingBench, AWeightSentAgainAfterALostReplyIsKeptOnce) {
  const std::string body = weighed(412.3).dump();
  EXPECT_EQ(enter(body).body, enter(body).body);
  EXPECT_EQ(values()["values"].size(), 1u);
}

TEST_F(AWeighingBench, WhatIsNoWeightIsRefusedWithItsField) {
  const auto refused = [&](const char* field, const json& value) {
    json body = weighed(412.3);
    body[field] = value;
    const Answer answer = enter(body.dump());
    EXPECT_EQ(answer.status, 422) << body;
    return json::parse(answer.body).value("place", "");
  };
  EXPECT_EQ(refused("value", "412"), "value");
  EXPECT_EQ(refused("value", nullptr), "value");
  EXPECT_EQ(refused("value", 1e15), "value");
  EXPECT_EQ(refused("unit", "oz"), "unit");
  EXPECT_EQ(refused("of", ""), "of");
  EXPECT_EQ(refused("of", std::string(500, 'w')), "of");
  EXPECT_EQ(refused("request", "short"), "request");
  EXPECT_EQ(enter(R"({"request":"weighed-x","of":"core weight","unit":"g","value":1e999})").status, 422);
  EXPECT_TRUE(values()["characteristics"].empty());

  weigh(412.3);
  json kilograms = weighed(0.412);
  kilograms["unit"] = "kg";
  const Answer mixed = enter(kilograms.dump());
  EXPECT_EQ(mixed.status, 409);
  EXPECT_THAT(mixed.body, HasSubstr("measured in g"));
  EXPECT_EQ(ask({.target = "/api/boxes/TM-9999/measurements"}).status, 404);
  EXPECT_EQ(ask({.target = "/api/boxes/TM-9999/chart?of=core%20weight"}).status, 404);
}

TEST_F(AWeighingBench, AChartWaitsUntilItsScatterCanBeTold) {
  EXPECT_EQ(chart().status, 404);
  weigh(412.3);
  EXPECT_EQ(chart().status, 422) << "one value has no scatter";
  weigh(412.3);
  EXPECT_THAT(chart().body, HasSubstr("all values are the same"));
  weigh(412.6);
  const Answer drawn = chart();
  ASSERT_EQ(drawn.status, 200) << drawn.body;
  EXPECT_THAT(drawn.body, HasSubstr("they move with each value"));
  EXPECT_EQ(drawn.body.find("null"), std::string::npos);
}

TEST_F(AWeighingBench, TheChartSaysBetweenWhichCoresTheWeightMoved) {
  for (int i = 0; i < 40; ++i) weigh(quiet_weight(i, 412));
  const json quiet = json::parse(chart().body);
  EXPECT_TRUE(quiet["signals"].empty()) << quiet["signals"];
  EXPECT_TRUE(quiet["changes"].empty());
  EXPECT_EQ(quiet["baseline"], (json{{"first", 1}, {"last", 25}, {"given", false}}));

  for (int i = 40; i < 50; ++i) weigh(quiet_weight(i, 417));
  const json moved = json::parse(chart().body);
  EXPECT_EQ(moved["limits"], quiet["limits"]) << "the limits stand";
  ASSERT_EQ(moved["changes"].size(), 1u);
  EXPECT_LE(std::stoi(moved["changes"][0]["low_label"].get<std::string>()), 41);
  EXPECT_GE(std::stoi(moved["changes"][0]["high_label"].get<std::string>()), 41);
  EXPECT_GT(moved["changes"][0]["shift_sigmas"], 1);

  const json last = json::parse(chart("&last=12").body);
  EXPECT_EQ(last["points"].size(), 12u);
  EXPECT_EQ(last["points"][0]["label"], "39");
  EXPECT_EQ(last["limits"], quiet["limits"]) << "the baseline need not be in sight";
  EXPECT_EQ(last["values"], 50);
}

TEST_F(AWeighingBench, AfterARepairTheChartBeginsAnewOrTakesGivenLimits) {
  for (int i = 0; i < 30; ++i) weigh(quiet_weight(i, 412));
  for (int i = 30; i < 60; ++i) weigh(quiet_weight(i, 420));
  EXPECT_FALSE(json::parse(chart().body)["signals"].empty());
  const json anew = json::parse(chart("&from=31").body);
  EXPECT_TRUE(anew["signals"].empty()) << anew["signals"];
  EXPECT_EQ(anew["points"][0]["label"], "31");
  EXPECT_NEAR(anew["limits"]["centre"].get<double>(), 420, 0.5);
  const json given = json::parse(chart("&centre=416&sigma=2").body);
  EXPECT_DOUBLE_EQ(given["limits"]["upper"].get<double>(), 422);
  EXPECT_TRUE(given["baseline"]["given"]);
  for (const std::string bad : {"&from=61", "&from=0", "&from=1.5", "&baseline=1", "&sigma=0", "&sigma=nan",
                                "&centre=heavy", "&last=1e9", "&sigma="})
    EXPECT_EQ(chart(bad).status, 422) << bad;
}

TEST_F(AWeighingBench, TheChartSaysWhenTheWeightDriftsInsteadOfJumping) {
  for (int i = 0; i < 40; ++i) weigh(quiet_weight(i, 412));
  for (int i = 40; i < 90; ++i) weigh(quiet_weight(i, 412) + 0.2 * (i - 40));
  const json changes = json::parse(chart().body)["changes"];
  ASSERT_EQ(changes.size(), 1u);
  EXPECT_EQ(changes[0]["shape"], "drift");
  EXPECT_THAT(changes[0]["text"].get<std::string>(), HasSubstr("drifts"));
  const json& drift = changes[0]["drift"];
  EXPECT_LE(std::stoi(drift["from_low_label"].get<std::string>()), 41);
  EXPECT_GE(std::stoi(drift["from_high_label"].get<std::string>()), 41);
  EXPECT_LT(drift["per_100_points"]["low"], 20);
  EXPECT_GT(drift["per_100_points"]["high"], 20);
}

TEST_F(AWeighingBench, AMistypedWeightIsStruckOutAndTheChartIsDrawnWithoutIt) {
  for (int i = 0; i < 30; ++i) weigh(i == 12 ? 41.2 : quiet_weight(i, 412));
  const json wrong = json::parse(chart().body);
  const json body{
      {"request", "strike-no-13"}, {"of", "core weight"}, {"number", 13}, {"why", "a digit was lost"}};
  const Answer done = strike(body);
  ASSERT_EQ(done.status, 201) << done.body;
  EXPECT_EQ(strike(body).body, done.body) << "sent again after a lost reply";

  const json right = json::parse(chart().body);
  EXPECT_EQ(right["points"].size(), 29u);
  EXPECT_TRUE(right["signals"].empty()) << right["signals"];
  EXPECT_LT(right["sigma"], 0.2 * wrong["sigma"].get<double>()) << "nor does the baseline count it";
  EXPECT_EQ(right["baseline"], (json{{"first", 1}, {"last", 26}, {"given", false}}));
  EXPECT_EQ(right["values"], 30);
  EXPECT_EQ(right["struck"], 1);
  EXPECT_THAT(right["notes"].dump(), HasSubstr("struck out and not counted: 1"));

  const json kept = values()["values"][12];
  EXPECT_EQ(kept["value"], 41.2) << "it stays in the record";
  EXPECT_EQ(kept["struck"]["who"], "Ada");
  EXPECT_EQ(kept["struck"]["why"], "a digit was lost");
}

TEST_F(AWeighingBench, WhatCannotBeStruckOutIsRefusedInWords) {
  weigh(412.3);
  const auto refused = [&](const char* field, const json& value) {
    json body{{"request", "strike-no-1"}, {"of", "core weight"}, {"number", 1}, {"why", "a digit was lost"}};
    body[field] = value;
    return strike(body).status;
  };
  EXPECT_EQ(refused("number", 2), 409);
  EXPECT_EQ(refused("of", "scratch hardness"), 409);
  for (const json& number : {json(0), json(-1), json(1.5), json("1"), json(1e300), json()})
    EXPECT_EQ(refused("number", number), 422) << number;
  EXPECT_EQ(refused("why", ""), 422);
  EXPECT_EQ(refused("request", "short"), 422);
  EXPECT_FALSE(values()["values"][0].contains("struck"));

  EXPECT_EQ(refused("why", "weighed with the tongs"), 201);
  EXPECT_EQ(chart().status, 422);
  EXPECT_THAT(chart().body, HasSubstr("struck out"));
}

TEST_F(AWeighingBench, AWeightThatWaitedForTheNetworkKeepsTheTimeItWasMeasured) {
  weigh(412.3);
  json late = weighed(411.9);
  late["waited_s"] = 3600;
  ASSERT_EQ(enter(late.dump()).status, 201);
  const json told = values()["values"];
  EXPECT_EQ(told[0]["number"], 2) << "in the order measured";
  const UtcTime measured = UtcTime::parse(told[0]["at"].get<std::string>()),
                arrived = UtcTime::parse(told[0]["arrived_at"].get<std::string>());
  EXPECT_EQ(arrived - measured, std::chrono::hours(1));
  EXPECT_FALSE(told[1].contains("arrived_at")) << "came as it was measured";
  for (const json& waited : {json(-1), json(1e9), json("1")}) {
    json wrong = weighed(411.9);
    wrong["waited_s"] = waited;
    EXPECT_EQ(enter(wrong.dump()).status, 422) << waited;
  }
}

TEST_F(AWeighingBench, AnOpenPageHearsOfAWeightAtOnce) {
  Wire wire(service_->port());
  wire.send(Sent{.target = "/api/events", .cookie = cookie_}.text());
  wire.receive_until(": here\n\n");
  weigh(412.3);
  EXPECT_THAT(
      wire.receive_until("core weight"),
      HasSubstr("event: measurement\ndata: {\"box\":\"TM-0412\",\"number\":1,\"of\":\"core weight\"}"));
}

}  // namespace
}  // namespace boxfettle
