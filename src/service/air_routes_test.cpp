// Air and gas of a box as its page asks: a small invented core of two arms, studied by the worker.
#include <gmock/gmock.h>

#include <cstring>

#include "corebox/box_file.hpp"
#include "demo/plain_solids.hpp"
#include "geometry/surface_file.hpp"
#include "input/whole_file.hpp"
#include "service/air_study.hpp"
#include "service/served_shop.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;
using testing::AllOf;
using testing::HasSubstr;
using testing_client::Answer;

class AVentedBox : public ServedShop {
 protected:
  AVentedBox() {
    design_ = demo::block({100, 30, 30});
    demo::add(design_, demo::block({30, 80, 30}, {70, 29, 0}));
    CoreBox box;
    box.id = "TM-0412";
    box.name = "Elbow core";
    box.design_file = "elbow.stl";
    box.parting = PartingFace::through({0, 0, 15}, {0, 0, 1});
    box.blow_inlets = {{"B1", {15, 15, 30}, 14}};
    box.vents = {{"V1", {60, 15, 30}, 8}, {"V2", {85, 109, 15}, 8}, {"V3", {100, 15, 15}, 8}};
    const auto stl = scratch_.path() / "elbow.stl";
    write_binary_stl(design_, stl);
    const std::string text = write_box_file(box);
    BoxRegistered registration;
    registration.design = store_.files.put(WholeFile(stl).bytes());
    registration.design_name = "elbow.stl";
    registration.box_file = store_.files.put(std::as_bytes(std::span(text)));
    register_box(registration);
    open_as("Ada", "sand and resin");
  }

  json air() { return json::parse(ask({.target = "/api/boxes/TM-0412/air"}).body); }
  Answer ask_for(const std::string& body) {
    return ask(
        {.method = "POST", .target = "/api/boxes/TM-0412/air", .body = body, .type = "application/json"});
  }
  std::string study_of(const std::string& tried) {
    const Answer queued = ask_for(tried);
    EXPECT_EQ(queued.status, 202) << queued.body;
    const json job = job_when_over(json::parse(queued.body)["id"]);
    EXPECT_EQ(job["state"], "done") << job;
    return job.value("study", "");
  }
  json study(const std::string& id) { return json::parse(ask({.target = "/api/air-studies/" + id}).body); }

  // The reason of the box's verdict that begins so; empty when there is none.
  std::string reason_on(const std::string& word) {
    const json page = box_page();
    for (const json& reason : page["verdict"]["reasons"])
      if (const std::string text = reason["text"]; text.starts_with(word)) return text;
    return "";
  }
  // Until the worker has told of it; the assertion after it says what is wrong when it never does.
  static void wait_until(const std::function<bool()>& so) {
    for (int i = 0; i < 1200 && !so(); ++i) std::this_thread::sleep_for(std::chrono::milliseconds(50));
  }

  TriangleMesh design_;
};

TEST_F(AVentedBox, IsStudiedOnceAsFoundAndOnceAsTried) {
  EXPECT_FALSE(air().contains("study"));
  EXPECT_EQ(air()["vents"][1]["plugged_origin"]["from"], "box-file");
  const std::string found = study_of(R"({"vents":[]})");
  EXPECT_EQ(air()["study"], found);
  EXPECT_EQ(json::parse(ask_for(R"({"vents":[]})").body)["study"], found)
      << "the same is not worked out twice";

  const std::string tried = study_of(R"({"vents":[{"id":"V2","plugged":0.9}]})");
  const json before = study(found), after = study(tried);
  EXPECT_EQ(before["tried"], json::object());
  EXPECT_EQ(after["tried"], (json{{"V2", 0.9}}));
  EXPECT_GT(after["gas"]["reached_last"]["residence_s"], before["gas"]["reached_last"]["residence_s"]);
  EXPECT_GT(after["blow"]["fill_time_s"], before["blow"]["fill_time_s"]);
  EXPECT_GT(before["gas"]["one_more_vent"].size(), 30U);
  EXPECT_THAT(before["gas"]["vents"][0]["clean_every_origin"].get<std::string>(),
              HasSubstr("common practice"));
  EXPECT_EQ(air()["study"], found) << "what is tried changes nothing on record";

  const std::string cavity = ask({.target = "/api/air-studies/" + found + "/cavity"}).body;
  ASSERT_GT(cavity.size(), 48U);
  EXPECT_EQ(cavity.substr(0, 4), "BFA1");
  std::uint32_t cells[3];
  std::memcpy(cells, cavity.data() + 12, sizeof cells);
  EXPECT_EQ(cavity.size(), 48 + 12 * (design_.vertices.size() + design_.triangles.size()) +
                               std::size_t{4} * cells[0] * cells[1] * cells[2]);
  EXPECT_EQ(ask({.target = "/api/air-studies/nothing"}).status, 404);
}

TEST_F(AVentedBox, TheStudyAsFoundStaysAndOnlyTheNewestThatWereTried) {
  const std::string found = study_of(R"({"vents":[]})");
  const auto older = [](int i) { return "air-tried-before-" + std::to_string(i); };
  for (int i = 0; i < tried_studies_kept; ++i) store_.readings.put({older(i), "TM-0412", "{}", {}, ""});
  const std::string tried = study_of(R"({"vents":[{"id":"V2","plugged":0.9}]})");
  EXPECT_EQ(air()["study"], found);
  EXPECT_EQ(ask({.target = "/api/air-studies/" + tried}).status, 200);
  EXPECT_EQ(ask({.target = "/api/air-studies/" + older(0)}).status, 404) << "it was the oldest";
  EXPECT_EQ(ask({.target = "/api/air-studies/" + older(1)}).status, 200);
}

TEST_F(AVentedBox, AStudyIsCancelledAndLeavesNothingBehind) {
  const std::string id = json::parse(ask_for(R"({"vents":[{"id":"V1","plugged":0.5}]})").body)["id"];
  EXPECT_EQ(json::parse(ask_for(R"({"vents":[{"id":"V1","plugged":0.5}]})").body)["id"], id)
      << "asked again while it waits, it is the same job";
  EXPECT_EQ(ask({.method = "DELETE", .target = "/api/jobs/" + id}).status, 204);
  EXPECT_EQ(job_when_over(id)["state"], "cancelled");
  EXPECT_FALSE(air().contains("study"));
}

TEST_F(AVentedBox, WhatCannotBeTriedIsRefusedNamingTheField) {
  const auto place = [&](const std::string& body) {
    const Answer refused = ask_for(body);
    EXPECT_EQ(refused.status, 422) << body;
    return json::parse(refused.body).value("place", "");
  };
  EXPECT_EQ(place(R"({"vents":[{"id":"V9","plugged":0.5}]})"), "vents[0].id");
  EXPECT_EQ(place(R"({"vents":[{"id":"V1","plugged":1.5}]})"), "vents[0].plugged");
  EXPECT_EQ(place(R"({"vents":[{"id":"V1"}]})"), "vents[0].plugged");
  EXPECT_EQ(place("{}"), "vents");
}

TEST_F(AVentedBox, AVentCheckIsTheVentAsFoundAndAsksForAnotherStudy) {
  const json check{{"request", "vent-check-1"}, {"of", "V2 plugged"}, {"unit", "%"}, {"value", 40}};
  ASSERT_EQ(ask({.method = "POST",
                 .target = "/api/boxes/TM-0412/measurements",
                 .body = check.dump(),
                 .type = "application/json"})
                .status,
            201);
  const json vent = air()["vents"][1];
  EXPECT_EQ(vent["plugged"], 0.4);
  EXPECT_EQ(vent["plugged_origin"]["from"], "check");
  EXPECT_FALSE(vent.contains("plugging")) << "one check tells no rate";
}

TEST_F(AVentedBox, AVentFoundPluggedHoldsItUntilTheCheckIsStruckOut) {
  const auto send = [&](const std::string& to, json body) {
    return json::parse(ask({.method = "POST",
                            .target = "/api/boxes/TM-0412/measurements" + to,
                            .body = body.dump(),
                            .type = "application/json"})
                           .body);
  };
  const auto gassing = [&] { return reason_on("Gassing"); };
  EXPECT_EQ(gassing(), "");
  const json check =
      send("", {{"request", "vent-check-1"}, {"of", "V2 plugged"}, {"unit", "%"}, {"value", 97}});
  wait_until([&] { return !gassing().empty(); });
  EXPECT_THAT(gassing(), AllOf(HasSubstr("reached last waits"), HasSubstr("Clean the vents")));
  EXPECT_EQ(box_page()["verdict"]["state"], "hold");
  const json reasons = box_page()["verdict"]["reasons"];
  const json again =
      send("", {{"request", "vent-check-2"}, {"of", "V2 plugged"}, {"unit", "%"}, {"value", 97}});
  EXPECT_EQ(box_page()["verdict"]["reasons"], reasons) << "the same found again is no news";

  for (const json& one : {check, again})
    send("/struck", {{"request", "strike-" + one["number"].dump()},
                     {"of", "V2 plugged"},
                     {"number", one["number"]},
                     {"why", "Held against the light once more: it is free."}});
  wait_until([&] { return gassing().empty(); });
  EXPECT_EQ(gassing(), "") << "without the check the vents are as the box file says";
}

TEST_F(AVentedBox, VentsCountedAsBlockedSlowItsFilling) {
  json inspection = this->inspection("inspect-with-vents", "vents");
  for (json& result : inspection["results"])
    if (result["checkpoint"] == "vents") result["measured"] = 2;
  ASSERT_EQ(inspect(inspection).status, 201);
  EXPECT_THAT(reason_on("Filling"), HasSubstr("2 vents blocked, taken as the widest: it fills"));
}

TEST_F(AVentedBox, WithoutItsBoxFileNothingIsKnownOfItsVents) {
  register_box({});
  EXPECT_EQ(ask({.target = "/api/boxes/TM-0412/air"}).status, 409);
  EXPECT_EQ(ask_for(R"({"vents":[]})").status, 409);
  EXPECT_EQ(ask({.target = "/api/boxes/TM-9999/air"}).status, 404);
}

}  // namespace
}  // namespace boxfettle
