#include <gmock/gmock.h>

#include "service/served_shop.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing_client::Answer;

class ToldShop : public ServedShop {
 protected:
  Answer tell(const std::string& kind, json body, const std::string& at = "/api/boxes/TM-0412") {
    if (!body.contains("request")) body["request"] = "request-" + std::to_string(++told_);
    return ask(
        {.method = "POST", .target = at + "/told/" + kind, .body = body.dump(), .type = "application/json"});
  }
  json done(const std::string& kind, json body, const std::string& at = "/api/boxes/TM-0412") {
    const Answer answer = tell(kind, std::move(body), at);
    EXPECT_EQ(answer.status, 201) << answer.body;
    return json::parse(answer.body);
  }
  int told_ = 0;
};

TEST_F(ToldShop, ARunIsOpenedProvedCaredForAndClosed) {
  open_as("Ada", "sand and resin");
  const json run{{"station", "Station 2"}, {"planned", 200}, {"batch", "B-77"}};
  EXPECT_THAT(tell("run-opened", run).body, HasSubstr("opening inspection"));
  ASSERT_EQ(inspect(inspection("request-look")).status, 201);
  json page = done("run-opened", run);
  EXPECT_EQ(page["run"]["run"], "TM-0412/1");
  EXPECT_EQ(page["run"]["phase"], "first-pieces");
  EXPECT_EQ(page["place"]["text"], "Station 2");
  ASSERT_EQ(page["run"]["care"].size(), 3u);
  EXPECT_EQ(page["run"]["care"][0]["standing"], "each-core");
  for (int i = 0; i < 5; ++i) page = done("first-piece", {{"passed", true}});
  EXPECT_EQ(page["run"]["phase"], "running");
  page = done("care-done", {{"care", "vents"}, {"shots", 60}});
  EXPECT_EQ(page["run"]["care"][1]["last"]["who"], "Ada");
  page = done("run-closed", {{"made", 180}, {"bad", 2}, {"went_to", "moulding line 1"}});
  EXPECT_FALSE(page.contains("run"));
  EXPECT_EQ(page["past_runs"][0]["made"], 180);
  EXPECT_EQ(page["made"], 180);
}

TEST_F(ToldShop, AnInspectionShowsWhatItSaw) {
  open_as("Ada", "sand and resin");
  const std::string picture("\xFF\xD8\xFF\xE0 a picture", 15);
  const auto send = [this](const std::string& bytes) {
    return ask(
        {.method = "POST", .target = "/api/photos", .body = bytes, .type = "application/octet-stream"});
  };
  const Answer kept = send(picture);
  ASSERT_EQ(kept.status, 201) << kept.body;
  const std::string photo = json::parse(kept.body)["photo"];
  json looked = inspection("request-photo", "parting-face");
  for (json& result : looked["results"])
    if (result["checkpoint"] == "parting-face") result["photo"] = photo;
  const Answer answer = inspect(looked);
  ASSERT_EQ(answer.status, 201) << answer.body;
  EXPECT_EQ(json::parse(answer.body)["logbook"][0]["photos"], json::array({photo}));
  const Answer shown = ask({.target = "/api/photos/" + photo});
  EXPECT_EQ(shown.headers.at("content-type"), "image/jpeg");
  EXPECT_EQ(shown.body, picture);
  EXPECT_EQ(send("MZ no picture").status, 422);
  looked["request"] = "request-other";
  looked["results"][0]["photo"] = std::string(64, '0');
  EXPECT_EQ(inspect(looked).status, 422);
}

TEST_F(ToldShop, ANewBoxIsRegisteredWithItsFilesAndWhatCannotBeReadIsRefused) {
  open_as("Bo", "dowels and bushes");
  const auto send = [this](const std::string& bytes) {
    const Answer answer =
        ask({.method = "POST", .target = "/api/files", .body = bytes, .type = "application/octet-stream"});
    EXPECT_EQ(answer.status, 201) << answer.body;
    return json::parse(answer.body)["file"];
  };
  const std::string box_file = R"(
[box]
id = "TM-0500"
name = "Block"
process = "cold-box"
material = "aluminium"
design = "block.obj"
[parting]
point_mm = [0, 0, 0]
normal = [0, 0, 1]
)";
  const std::string block = "v 0 0 0\nv 10 0 0\nv 0 10 0\nv 0 0 10\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 3 1 4\n";
  const json particulars{{"name", "Block"},           {"makes", "a block"},
                         {"process", "cold-box"},     {"material", "aluminium"},
                         {"home_place", "Rack B, 4"}, {"design_name", "block.obj"}};
  json asked = particulars;
  asked["box_file"] = send(box_file);
  asked["design"] = send(block);
  const Answer other = tell("registered", asked, "/api/boxes/TM-0501");
  EXPECT_EQ(other.status, 422);
  EXPECT_THAT(other.body, HasSubstr("is of box TM-0500"));
  const json page = done("registered", asked, "/api/boxes/TM-0500");
  EXPECT_EQ(page["has_design"], true);
  EXPECT_EQ(page["has_box_file"], true);
  asked["design"] = send("no design at all");
  asked["request"] = "request-bad-design";
  EXPECT_EQ(tell("registered", asked, "/api/boxes/TM-0500").status, 422);
  asked["design"] = std::string(64, 'a');
  EXPECT_EQ(tell("registered", asked, "/api/boxes/TM-0500").status, 422);
}

TEST_F(ToldShop, ADrawingIsFiledAndHandedOut) {
  open_as("Bo", "dowels and bushes");
  const Answer kept = ask({.method = "POST",
                           .target = "/api/files",
                           .body = "%PDF-1.4 sheet",
                           .type = "application/octet-stream"});
  const std::string file = json::parse(kept.body)["file"];
  const json page = done("file-filed", {{"name", "sheet.pdf"}, {"file", file}, {"words", "tooling sheet"}});
  EXPECT_EQ(page["files"][0]["name"], "sheet.pdf");
  const Answer out = ask({.target = "/api/files/" + file});
  EXPECT_EQ(out.body, "%PDF-1.4 sheet");
  EXPECT_EQ(out.headers.at("content-disposition"), "attachment");
  EXPECT_EQ(tell("file-filed", {{"name", "x"}, {"file", "no hash"}}).status, 422);
}

TEST_F(ToldShop, AFileThatIsNoPhotoIsNotShownAsOne) {
  open_as("Ada", "sand and resin");
  const ContentHash design = store_.files.put(std::as_bytes(std::span("solid design", 12)));
  EXPECT_EQ(ask({.target = "/api/photos/" + design.hex()}).status, 404);
  EXPECT_EQ(ask({.target = "/api/photos/..%2F..%2Fsecret"}).status, 404);
}

TEST_F(ToldShop, RegisteringAgainKeepsWhatIsLeftOut) {
  BoxRegistered with_design;
  with_design.design = content_hash("design");
  with_design.design_name = "volute.stl";
  register_box(with_design);
  open_as("Bo", "dowels and bushes");
  const json page = done("registered", {{"home_place", "Rack C, bay 1"}});
  EXPECT_EQ(page["has_design"], true);
  EXPECT_EQ(page["name"], "Pump volute core");
}

TEST_F(ToldShop, AStockTakeSentAgainChangesNothingMore) {
  open_as("Bo", "dowels and bushes");
  const json read{{"request", "stock-take-1"}, {"rack", "Rack B"}, {"read", json::array()}};
  const testing_client::Sent sent{
      .method = "POST", .target = "/api/stock-takes", .body = read.dump(), .type = "application/json"};
  ASSERT_EQ(ask(sent).status, 201);
  const json first = box_page()["logbook"];
  ASSERT_EQ(ask(sent).status, 201);
  EXPECT_EQ(box_page()["logbook"], first);
}

TEST_F(ToldShop, ARequestSentAgainChangesNothing) {
  open_as("Ada", "sand and resin");
  const json note{{"request", "request-note"}, {"text", "left corner rags"}};
  const json first = done("note", note);
  EXPECT_EQ(done("note", note)["logbook"], first["logbook"]);
}

TEST_F(ToldShop, WhatIsWrongIsToldWithItsPlaceAndWhatToDo) {
  open_as("Ada", "sand and resin");
  const Answer word = tell("defect-seen", {{"defect", "wobbly"}});
  EXPECT_EQ(word.status, 422);
  EXPECT_THAT(word.body, HasSubstr("soft-spot"));
  EXPECT_EQ(tell("run-opened", {{"station", 7}}).status, 422);
  EXPECT_EQ(tell("no-such-kind", json::object()).status, 422);
  EXPECT_EQ(tell("computed", {{"what", "dowels"}, {"text", "all is well"}}).status, 422)
      << "nobody writes a verdict by hand";
  EXPECT_EQ(tell("spare-counted", {{"spare", "PIN-12"}}).status, 422) << "belongs to the shop, not to a box";
  EXPECT_EQ(tell("note", {{"text", "hello"}}, "/api/boxes/TM-9999").status, 404);
  EXPECT_EQ(tell("released", {{"why", "fine"}}).status, 409);
  EXPECT_EQ(
      tell("registered", {{"name", "x"}, {"process", "shell"}, {"material", "steel"}}, "/api/boxes/TM-0500")
          .status,
      409)
      << "an operator registers no boxes";
}

TEST_F(ToldShop, SuspectCoresAreListedAndDealtWithLotByLot) {
  open_as("Bo", "dowels and bushes");
  ASSERT_EQ(inspect(inspection("request-look")).status, 201);
  done("run-opened", {{"station", "Station 2"}, {"planned", 50}});
  done("run-closed", {{"made", 50}, {"bad", 0}, {"went_to", "line 1"}});
  ASSERT_EQ(inspect(inspection("request-bad", "dowels")).status, 201);
  EXPECT_EQ(box_page()["doubts"], json::array({"dowels"}));
  const json doubt = json::parse(ask({.target = "/api/boxes/TM-0412/doubt?property=dowels"}).body);
  EXPECT_EQ(doubt["cores"], 50) << doubt;
  json page = done("suspects-listed", {{"property", "dowels"}, {"why", "shift 0.24 mm"}});
  EXPECT_TRUE(page["doubts"].empty());
  ASSERT_EQ(page["traces"].size(), 1u);
  EXPECT_EQ(page["traces"][0]["lots"][0]["went_to"], "line 1");
  const std::string trace = page["traces"][0]["trace"];
  EXPECT_THAT(
      tell("lot-dealt-with", {{"trace", trace}, {"lot", 0}, {"good", 40}, {"bad", 20}, {"what", "sorted"}})
          .body,
      HasSubstr("50 cores"));
  page = done("lot-dealt-with", {{"trace", trace}, {"lot", 0}, {"good", 47}, {"bad", 3}, {"what", "sorted"}});
  EXPECT_EQ(page["traces"][0]["closed"], true);
}

TEST_F(ToldShop, ABoxIsFoundByAWordAndARackIsCounted) {
  open_as("Bo", "dowels and bushes");
  done("registered",
       {{"name", "Valve body"},
        {"process", "shell"},
        {"material", "grey-iron"},
        {"home_place", "Rack B, bay 4"}},
       "/api/boxes/TM-0500");
  const json found = json::parse(ask({.target = "/api/find?words=valve"}).body);
  ASSERT_EQ(found["boxes"].size(), 1u);
  EXPECT_EQ(found["boxes"][0]["id"], "TM-0500");
  const json read{{"request", "stock-take-1"},
                  {"rack", "Rack B"},
                  {"read", json::array({json{{"code", "TM-0412"}, {"bay", "Rack B, bay 3"}},
                                        json{{"code", "nobody's"}}})}};
  const Answer counted =
      ask({.method = "POST", .target = "/api/stock-takes", .body = read.dump(), .type = "application/json"});
  ASSERT_EQ(counted.status, 201) << counted.body;
  EXPECT_EQ(json::parse(counted.body)["unknown"], json::array({"nobody's"}));
  EXPECT_EQ(box_page()["place"]["text"], "Rack B, bay 3");
  EXPECT_EQ(json::parse(ask({.target = "/api/boxes/TM-0500"}).body)["place"]["kind"], "missing");
}

TEST_F(ToldShop, TheShopChoosesItsOwnCareAndCheckpoints) {
  open_as("Bo", "dowels and bushes");
  const json rule{{"id", "vents"}, {"title", "Vents"}, {"every_minutes", 30}};
  done("shop-care-chosen", {{"process", "cold-box"}, {"care", json::array({rule})}, {"why", "summer"}},
       "/api/shop");
  ASSERT_EQ(inspect(inspection("request-look")).status, 201);
  EXPECT_EQ(done("run-opened", {{"station", "2"}, {"planned", 9}})["run"]["care"].size(), 1u);
  const std::string toml = R"(
version = 3
inspect_again_after_days = 10
[[checkpoint]]
id = "handles"
title = "Handles"
how = "Pull."
fails_when = "Loose."
evidence = "yes-no"
consequence = "safety-hold"
)";
  done("catalogue-written", {{"toml", toml}, {"why", "shorter"}}, "/api/shop");
  EXPECT_EQ(json::parse(ask({.target = "/api/checkpoints"}).body)["checkpoints"].size(), 1u);
  EXPECT_EQ(tell("catalogue-written", {{"toml", toml}, {"why", "again"}}, "/api/shop").status, 422)
      << "the version must rise";
  EXPECT_EQ(tell("catalogue-written", {{"toml", "version = "}, {"why", "typo"}}, "/api/shop").status, 422);
}

}  // namespace
}  // namespace boxfettle
