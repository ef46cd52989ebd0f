// The shop's service as a browser meets it: a real server, a real store, an invented box.
#include "service/service.hpp"

#include <gmock/gmock.h>

#include <nlohmann/json.hpp>
#include <thread>

#include "geometry/surface_file.hpp"
#include "input/whole_file.hpp"
#include "service/shop_with_design_test.hpp"

namespace boxfettle {
namespace {

using namespace std::chrono_literals;
using nlohmann::json;
using testing::HasSubstr;
using testing::Not;
using testing_client::Answer;
using testing_client::exchange;
using testing_client::Sent;
using testing_client::Wire;

class OpenShop : public ShopWithDesign {};

TEST_F(OpenShop, NobodySeesTheFloorWithoutSigningIn) {
  open();
  for (const std::string target :
       {"/api/me", "/api/floor", "/api/boxes/TM-0412", "/api/checkpoints", "/api/jobs/1",
        "/api/readings/1/surface", "/api/events", "/api/logbook/verify", "/api/openapi.yaml"})
    EXPECT_EQ(ask({.target = target}).status, 401) << target;
  EXPECT_EQ(inspect(inspection("request-1")).status, 401);
  EXPECT_EQ(send_scan("scan").status, 401);
  EXPECT_EQ(try_sign_in("Ada", "sand or resin").status, 401);
  EXPECT_EQ(try_sign_in("Nobody", "sand and resin").status, 401);
}

TEST_F(OpenShop, SigningInSetsACookieNoScriptCanReadAndSigningOutEndsIt) {
  open_as("Ada", "sand and resin");
  const Answer again = try_sign_in("Ada", "sand and resin");
  EXPECT_THAT(again.headers.at("set-cookie"),
              testing::AllOf(HasSubstr("HttpOnly"), HasSubstr("SameSite=Strict"), HasSubstr("Path=/")));
  EXPECT_EQ(json::parse(ask({.target = "/api/me"}).body),
            (json{{"name", "Ada"}, {"role", "operator"}, {"shop", "Tarnmoor Castings"}}));
  EXPECT_EQ(ask({.method = "POST", .target = "/api/sign-out"}).status, 204);
  EXPECT_EQ(ask({.target = "/api/me"}).status, 401);
}

TEST_F(OpenShop, GuessingAPassphraseIsSlowedDownForThatNameAlone) {
  open();
  int status = 401;
  for (int i = 0; i < 20 && status == 401; ++i)
    status = try_sign_in("Ada", "guess " + std::to_string(i)).status;
  EXPECT_EQ(status, 429);
  const Answer right = try_sign_in("Ada", "sand and resin");
  EXPECT_EQ(right.status, 429);
  EXPECT_GT(std::stoi(right.headers.at("retry-after")), 0);
  EXPECT_EQ(try_sign_in("Bo", "dowels and bushes").status, 200);
}

TEST_F(OpenShop, AFailedCheckTurnsTheVerdictAndAPassedOneTurnsItBack) {
  open_as("Ada", "sand and resin");
  EXPECT_EQ(box_page()["verdict"]["state"], "watch") << "never looked at";
  const Answer good = inspect(inspection("request-good"));
  ASSERT_EQ(good.status, 201) << good.body;
  EXPECT_EQ(json::parse(good.body)["verdict"]["state"], "fit");

  std::string dangerous;
  for (const Checkpoint& checkpoint : shipped_catalogue().checkpoints)
    if (checkpoint.consequence == Consequence::safety_hold) dangerous = checkpoint.id;
  ASSERT_NE(dangerous, "");
  const json held = json::parse(inspect(inspection("request-bad", dangerous)).body);
  EXPECT_EQ(held["verdict"]["state"], "hold");
  EXPECT_TRUE(held["verdict"]["reasons"][0]["safety"]);
  const json floor = json::parse(ask({.target = "/api/floor"}).body);
  EXPECT_EQ(floor["shop"], "Tarnmoor Castings");
  EXPECT_EQ(floor["boxes"][0]["verdict"]["state"], "hold");
  EXPECT_EQ(floor["boxes"][0]["place"]["text"], "Rack B, bay 3");
}

TEST_F(OpenShop, ARequestSentAgainAfterALostReplyChangesNothing) {
  open_as("Ada", "sand and resin");
  const json first = json::parse(inspect(inspection("request-once")).body);
  const Answer again = inspect(inspection("request-once"));
  EXPECT_EQ(again.status, 201);
  EXPECT_EQ(json::parse(again.body)["logbook"], first["logbook"]);
}

TEST_F(OpenShop, WhatCannotBeReadIsRefusedWithThePlaceOfTheFault) {
  open_as("Ada", "sand and resin");
  const std::string target = "/api/boxes/TM-0412/inspections";
  const auto sent = [&](const std::string& body) {
    return ask({.method = "POST", .target = target, .body = body, .type = "application/json"});
  };
  for (const std::string body : {"", "{", "[]", "17", "{\"request\":\"request-1\"}", "\xff\xfe{}"})
    EXPECT_EQ(sent(body).status, 422) << body;
  const Answer typed = sent(R"({"request":"request-1","results":[{"checkpoint":"dowels","passed":"yes"}]})");
  EXPECT_EQ(typed.status, 422);
  EXPECT_EQ(json::parse(typed.body)["place"], "results[0].passed");
  EXPECT_EQ(sent(R"({"request":"request-1","results":[{"checkpoint":"no such","passed":true}]})").status,
            422);
  EXPECT_EQ(sent(std::string(100'000, '[')).status, 422);
  EXPECT_EQ(ask({.method = "POST",
                 .target = "/api/boxes/TM-9999/inspections",
                 .body = "{}",
                 .type = "application/json"})
                .status,
            404);
  EXPECT_EQ(ask({.target = "/api/boxes/TM-9999"}).status, 404);
}

TEST_F(OpenShop, ListenersHearOfABoxThatChanged) {
  open_as("Ada", "sand and resin");
  Wire wire(service_->port());
  wire.send(Sent{.target = "/api/events", .cookie = cookie_}.text());
  wire.receive_until(": here\n\n");
  inspect(inspection("request-heard"));
  EXPECT_THAT(wire.receive_until("TM-0412"), HasSubstr("event: box\ndata: {\"box\":\"TM-0412\"}"));
}

TEST_F(OpenShop, WhatAnotherProgramWroteIsSeenWithoutARestart) {
  open_as("Ada", "sand and resin");
  carry_out(store_.logbook, {"elsewhere-1", "TM-0412", HoldBox{"Dropped from the crane", false, ""}},
            {"Bo", Role::tooling}, shipped_catalogue(), Standing{.now = clock_time()});
  EXPECT_EQ(box_page()["verdict"]["state"], "hold");
}

TEST_F(OpenShop, ThePageIsServedAndNothingOutsideItsFolder) {
  open();
  const Answer page = ask({.target = "/"});
  EXPECT_THAT(page.body, HasSubstr("Boxfettle"));
  EXPECT_EQ(page.headers.at("content-type"), "text/html; charset=utf-8");
  EXPECT_EQ(ask({.target = "/boxes/TM-0412"}).body, page.body) << "the page finds its own way";
  EXPECT_EQ(ask({.target = "/", .more = "If-None-Match: " + page.headers.at("etag") + "\r\n"}).status, 304);
  for (const std::string target :
       {"/../secret.txt", "/%2e%2e/secret.txt", "/..%2fsecret.txt", "/x/..%2f..%2fsecret.txt", "/link.txt",
        "//etc/passwd.txt", "/%2fetc%2fpasswd.txt"}) {
    const Answer answer = ask({.target = target});
    EXPECT_GE(answer.status, 400) << target;
    EXPECT_THAT(answer.body, Not(HasSubstr("not a page file"))) << target;
  }
}

TEST_F(OpenShop, TheLogbookIsVerifiedAndTheApiDescribesItself) {
  open_as("Ada", "sand and resin");
  EXPECT_EQ(json::parse(ask({.target = "/api/logbook/verify"}).body),
            (json{{"whole", true}, {"entries", 1}}));
  EXPECT_THAT(ask({.target = "/api/openapi.yaml"}).body, HasSubstr("operationId: verifyLogbook"));
  const json catalogue = json::parse(ask({.target = "/api/checkpoints"}).body);
  EXPECT_EQ(catalogue["checkpoints"].size(), shipped_catalogue().checkpoints.size());
}

TEST_F(OpenShop, AScanNobodyCanReadIsRefusedBeforeItIsReceived) {
  open_as("Ada", "sand and resin");
  EXPECT_THAT(send_scan("scan").body, HasSubstr("no design"));
  register_with_design();
  EXPECT_EQ(send_scan("scan", "unit=mm").status, 422) << "no file name";
  EXPECT_EQ(send_scan("scan", "file=a.ply&unit=furlong").status, 422);
  EXPECT_EQ(ask({.method = "POST",
                 .target = "/api/boxes/TM-9999/scans?file=a.ply",
                 .body = "scan",
                 .type = "application/octet-stream"})
                .status,
            404);
}

TEST_F(OpenShop, AScanThatIsNoneFailsItsJobAndLeavesTheLogbookAlone) {
  register_with_design();
  open_as("Ada", "sand and resin");
  const Answer queued = send_scan("this is no scan", "file=C:%5Cscans%5Cbad.ply");
  ASSERT_EQ(queued.status, 202) << queued.body;
  const json job = job_when_over(json::parse(queued.body)["id"]);
  EXPECT_EQ(job["state"], "failed");
  EXPECT_EQ(job["file"], "bad.ply");
  EXPECT_THAT(job["problem"]["place"], HasSubstr("bad.ply"));
  EXPECT_NE(job["problem"]["mend"], "");
  EXPECT_TRUE(box_page()["readings"].empty());
}

TEST_F(OpenShop, AScanOfAWornCoreBecomesAReadingAnEntryAndAVerdict) {
  const demo::InventedCore core = register_with_design();
  open_as("Ada", "sand and resin");
  inspect(inspection("request-good"));
  demo::BoxFaults faults;
  faults.mismatch_mm = {0.9, 0};
  const Answer queued = send_scan(scan_of(core, faults), "file=first.ply&unit=mm");
  ASSERT_EQ(queued.status, 202) << queued.body;
  const json job = job_when_over(json::parse(queued.body)["id"]);
  ASSERT_EQ(job["state"], "done") << job;

  const std::string reading = "/api/readings/" + job["reading"].get<std::string>();
  const json told = json::parse(ask({.target = reading}).body);
  EXPECT_TRUE(told.contains("pose") && told.contains("findings") && told.contains("deviation"));
  EXPECT_EQ(told["inputs"][1]["file"], "first.ply");
  const std::string surface = ask({.target = reading + "/surface"}).body;
  EXPECT_EQ(surface.substr(0, 4), "BFS1");
  // Long triangles are cut smaller, so there may be more than the design's own.
  EXPECT_GE(surface.size(), 12 + core.design.vertices.size() * 18 + core.design.triangles.size() * 12);
  EXPECT_FALSE(json::parse(ask({.target = reading + "/section"}).body)["design"].empty());

  const json page = box_page();
  EXPECT_EQ(page["readings"][0]["id"], job["reading"]);
  EXPECT_EQ(page["logbook"][0]["kind"], "scan-read");
  EXPECT_EQ(page["logbook"][0]["who"], "Ada");
  EXPECT_EQ(page["verdict"]["state"], "hold") << "0.9 mm of mismatch is far beyond the limit";
  EXPECT_TRUE(page["jobs"].empty());
}

TEST_F(OpenShop, ADesignKeptAsStepIsMeshedForTheReading) {
  const std::filesystem::path bracket =
      std::filesystem::path(BOXFETTLE_SOURCE_DIR) / "fuzz/corpus/step/bracket.step";
  BoxRegistered registration;
  registration.design = store_.files.put(WholeFile(bracket).bytes());
  registration.design_name = "bracket.step";
  register_box(registration);
  open_as("Ada", "sand and resin");
  // A core without a fault: the design's own triangles, as a scanner would give them.
  const auto stl = scratch_.path() / "bracket.stl";
  write_binary_stl(read_mesh_file(bracket), stl);
  const Answer queued = send_scan(std::string(WholeFile(stl).text()), "file=first.stl&unit=mm");
  const json job = job_when_over(json::parse(queued.body)["id"]);
  ASSERT_EQ(job["state"], "done") << job;
  const json told = json::parse(ask({.target = "/api/readings/" + job["reading"].get<std::string>()}).body);
  EXPECT_EQ(told["inputs"][0]["file"], "bracket.step");
  EXPECT_THAT(told["notes"].get<std::vector<std::string>>(),
              testing::Contains(HasSubstr("STEP was meshed to within 0.015 mm")));
  EXPECT_LT(told["deviation"]["p95_mm"].get<double>(), 0.015);
}

TEST_F(OpenShop, ACancelledScanEndsWithoutAReading) {
  const demo::InventedCore core = register_with_design();
  const std::string scan = scan_of(core, {});
  open_as("Ada", "sand and resin");
  const std::string first = json::parse(send_scan(scan).body)["id"];
  const std::string second = json::parse(send_scan(scan, "file=second.ply").body)["id"];
  EXPECT_EQ(ask({.method = "DELETE", .target = "/api/jobs/" + second}).status, 204);
  EXPECT_EQ(ask({.method = "DELETE", .target = "/api/jobs/" + first}).status, 204);
  EXPECT_EQ(job_when_over(second)["state"], "cancelled");
  EXPECT_EQ(job_when_over(first)["state"], "cancelled");
  EXPECT_EQ(ask({.method = "DELETE", .target = "/api/jobs/nothing"}).status, 404);
  EXPECT_TRUE(box_page()["readings"].empty());
}

TEST_F(OpenShop, AReadingCutShortByAStopIsDoneByTheNextStart) {
  const demo::InventedCore core = register_with_design();
  const std::string scan = scan_of(core, {});
  open_as("Ada", "sand and resin");
  const std::string id = json::parse(send_scan(scan).body)["id"];
  std::this_thread::sleep_for(150ms);
  close();
  const auto left = store_.jobs.find(id);
  ASSERT_TRUE(left);
  EXPECT_NE(left->state, JobState::done) << "the stop waited for the whole reading";
  open_as("Ada", "sand and resin");
  const json job = job_when_over(id);
  EXPECT_EQ(job["state"], "done") << job;
  EXPECT_EQ(box_page()["readings"].size(), 1u);
}

}  // namespace
}  // namespace boxfettle
