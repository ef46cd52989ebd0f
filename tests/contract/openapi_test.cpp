// The page and other programs are made from the OpenAPI document: it must say what the service does, no more
// and no less.
#include <gmock/gmock.h>

#include <algorithm>
#include <cctype>
#include <functional>
#include <map>
#include <set>
#include <utility>

#include "contract/schema_check.hpp"
#include "contract/yaml_document.hpp"
#include "input/whole_file.hpp"
#include "service/shop_with_design_test.hpp"

namespace boxfettle::contract {
namespace {

using nlohmann::json;
using testing_client::Answer;
using testing_client::Sent;

const std::set<std::string> verbs{"get", "post", "delete"};

json document() {
  return json_of_yaml(
      WholeFile(std::filesystem::path(BOXFETTLE_SOURCE_DIR) / "src/service/openapi.yaml").text());
}

std::string in_capitals(std::string text) {
  for (char& letter : text) letter = static_cast<char>(std::toupper(letter));
  return text;
}

std::vector<std::string> segments_of(const std::string& path) {
  return parse_request_target(path)->segments;
}

bool fits(const std::string& pattern, const std::string& path) {
  const auto wanted = segments_of(pattern), given = segments_of(path);
  if (wanted.size() != given.size()) return false;
  for (std::size_t i = 0; i < wanted.size(); ++i)
    if (!wanted[i].starts_with("{") && wanted[i] != given[i]) return false;
  return true;
}

class Contract : public ShopWithDesign {
 protected:
  // Asks, and holds the answer against the document.
  json asked(const std::string& method, const std::string& target, const json& body = nullptr) {
    Sent sent{.method = method, .target = target};
    if (!body.is_null()) {
      sent.body = body.dump();
      sent.type = "application/json";
    }
    return held_against_the_document(sent, ask(sent));
  }
  json told(const std::string& kind, json body, const std::string& at = "/api/boxes/TM-0412") {
    if (!body.contains("request")) body["request"] = "request-" + std::to_string(++told_);
    return asked("POST", at + "/told/" + kind, body);
  }

  json held_against_the_document(const Sent& sent, const Answer& answer) {
    const std::string path = sent.target.substr(0, sent.target.find('?'));
    const std::string asked_for = sent.method + " " + sent.target + " -> " + std::to_string(answer.status);
    const json operation = operation_for(sent.method, path);
    if (operation.is_null()) {
      ADD_FAILURE() << asked_for << " is not described";
      return nullptr;
    }
    seen_[operation["operationId"]].insert(std::to_string(answer.status));
    look_at_request(operation, sent, answer, asked_for);
    const json& responses = operation["responses"];
    const std::string status = std::to_string(answer.status);
    if (!responses.contains(status) && answer.status != 401) {
      ADD_FAILURE() << asked_for << " is not described: " << answer.body.substr(0, 200);
      return nullptr;
    }
    const json response = responses.contains(status) ? resolved(responses[status], document_)
                                                     : document_["components"]["responses"]["Problem"];
    return look_at_content(response, answer, asked_for);
  }

  const json document_ = document();
  std::map<std::string, std::set<std::string>> seen_;  // statuses by operation

 private:
  json operation_for(const std::string& method, const std::string& path) const {
    for (const auto& [pattern, operations] : document_["paths"].items())
      for (const auto& [verb, operation] : operations.items())
        if (verbs.contains(verb) && in_capitals(verb) == method && fits(pattern, path)) return operation;
    return nullptr;
  }

  // What the service agrees to is a request as the document describes it.
  void look_at_request(const json& operation, const Sent& sent, const Answer& answer,
                       const std::string& asked_for) {
    if (answer.status >= 300 || !operation.contains("requestBody")) return;
    const json& content = operation["requestBody"]["content"];
    ASSERT_TRUE(content.contains(sent.type)) << asked_for;
    if (sent.type != "application/json") return;
    for (const std::string& wrong :
         disagreements(json::parse(sent.body), content[sent.type]["schema"], document_))
      ADD_FAILURE() << asked_for << ", as sent: " << wrong;
  }

  json look_at_content(const json& response, const Answer& answer, const std::string& asked_for) {
    if (!response.contains("content")) {
      EXPECT_EQ(answer.body, "") << asked_for;
      return nullptr;
    }
    const std::string whole_type = answer.headers.at("content-type");
    const std::string type = whole_type.substr(0, whole_type.find(';'));  // without its character set
    EXPECT_TRUE(response["content"].contains(type)) << asked_for << " came as " << type;
    if (type != "application/json" || !response["content"].contains(type)) return answer.body;
    json body = json::parse(answer.body);
    for (const std::string& wrong : disagreements(body, response["content"][type]["schema"], document_))
      ADD_FAILURE() << asked_for << ": " << wrong;
    return body;
  }

  int told_ = 0;
};

class WholeLife : public Contract {
 protected:
  void signed_in() {
    asked("POST", "/api/sign-in", {{"name", "Bo"}, {"passphrase", "wrong"}});
    asked("GET", "/api/me");
    const Sent right{.method = "POST",
                     .target = "/api/sign-in",
                     .body = json{{"name", "Bo"}, {"passphrase", "dowels and bushes"}}.dump(),
                     .type = "application/json"};
    held_against_the_document(right, ask(right));
    cookie_ = signed_in_as("Bo", "dowels and bushes");
    asked("GET", "/api/me");
  }
  std::string signed_in_as(const std::string& name, const std::string& passphrase) {
    const std::string cookie = try_sign_in(name, passphrase).headers.at("set-cookie");
    return cookie.substr(0, cookie.find(';'));
  }

  void shop_is_told_of_itself() {
    const std::string shop = "/api/shop";
    told("spare-counted",
         {{"spare", "PIN-12"},
          {"count", 3},
          {"minimum", 4},
          {"ordered", 6},
          {"arrives", "2026-12-01T08:00:00Z"}},
         shop);
    told("fitter-hours",
         {{"fitter", "Yusuf"},
          {"skills", {"fitting"}},
          {"from_minute", 360},
          {"to_minute", 840},
          {"weekdays", {1, 2, 3}}},
         shop);
    told("place-registered",
         {{"label", "B-3"}, {"rack", "Rack B"}, {"place", {{"kind", "bay"}, {"text", "Rack B, bay 3"}}}},
         shop);
    told("sand-mix", {{"mix", "COLD-60"}, {"grain_fineness", 60}}, shop);
    told("shop-care-chosen",
         {{"process", "shell"},
          {"months", {6, 7}},
          {"why", "hot"},
          {"care", {{{"id", "air"}, {"title", "Blow out"}, {"each_core", true}}}}},
         shop);
    told("fitter-hours", {{"fitter", "Yusuf"}, {"from_minute", 900}, {"to_minute", 840}}, shop);
    told("spare-counted", {{"spare", ""}}, shop);
    asked("GET", shop);
  }

  void parts_are_told() {
    told("component-fitted", {{"component", "D1"},
                              {"what", "dowel"},
                              {"half", "lower"},
                              {"words", "pin"},
                              {"spare", "PIN-12"},
                              {"why", "new box"}});
    told("piece-registered",
         {{"piece", "TM-0412-A"}, {"name", "Port former"}, {"home", "Rack B, bay 3, tray"}});
    told("care-chosen", {{"why", "sand is sharp"},
                         {"care",
                          {{{"id", "vents"},
                            {"title", "Clean the vents"},
                            {"how", "Brush."},
                            {"every_minutes", 60},
                            {"every_shots", 100},
                            {"every_days", 1}}}}});
    told("first-pieces-chosen", {{"count", 1}, {"to_measure", {"core weight"}}});
    told("moved", {{"to", "bay"}, {"text", "Rack B, bay 3"}}, "/api/boxes/TM-9999");
    told("wobbled", {{"why", "?"}});
    told("run-closed", {{"made", 1}});
  }

  void box_is_inspected() {
    const std::string inspections = "/api/boxes/TM-0412/inspections";
    asked("POST", inspections, {{"request", "short"}});
    asked("POST", "/api/boxes/TM-9999/inspections", inspection("request-none"));
    asked("POST", inspections, inspection("request-look", "dowels"));
    told("conceded", {{"why", "trimmed by hand"}, {"until", "2099-01-01T00:00:00Z"}, {"shots", 200}});
    // Ada looked at the same without knowing of Bo's look.
    const std::string bos_cookie = std::exchange(cookie_, signed_in_as("Ada", "sand and resin"));
    json unheard = inspection("request-unheard");
    unheard["as_of_entry"] = 0;
    asked("POST", inspections, unheard);
    cookie_ = bos_cookie;
  }

  void box_is_run() {
    told("run-opened", {{"station", "Station 2"},
                        {"planned", 200},
                        {"batch", "B-7"},
                        {"order", "W-1"},
                        {"sand", "COLD-60"},
                        {"pieces", {"TM-0412-A"}}});
    told("first-piece",
         {{"passed", false},
          {"remark", "fin"},
          {"measured",
           {{{"characteristic", "core weight"}, {"value", 2150.5}, {"unit", "g"}, {"passed", false}}}}});
    told("first-piece",
         {{"passed", true},
          {"measured",
           {{{"characteristic", "core weight"}, {"value", 2140.5}, {"unit", "g"}, {"passed", true}}}}});
    told("care-done", {{"care", "vents"}, {"shots", 20}});
    told("run-paused", {{"why", "no sand"}});
    shots_are_counted();
    asked("GET", "/api/boxes/TM-0412");
    told("run-resumed", json::object());
    told("defect-seen",
         {{"defect", "fin"}, {"count", 2}, {"x", 0.4}, {"y", 0.6}, {"remark", "at the print"}});
    told("defect-not-seen", {{"defect", "mismatch"}});
    told(
        "run-closed",
        {{"made", 180}, {"bad", 2}, {"condition", "good"}, {"pieces", {"TM-0412-A"}}, {"went_to", "Line 1"}});
  }

  void shots_are_counted() {
    const std::string now = clock_time().iso();
    asked("POST", "/api/boxes/TM-0412/shots",
          {{"minutes", {{{"station", "Station 2"}, {"minute", now}, {"count", 9}}}}});
    asked("POST", "/api/boxes/TM-0412/shots",
          {{"minutes", {{{"station", "Station 2"}, {"minute", "2099-01-01T00:00:00Z"}, {"count", 9}}}}});
    asked("POST", "/api/boxes/TM-9999/shots", {{"minutes", json::array()}});
  }

  void doubts_and_jobs() {
    asked("GET", "/api/boxes/TM-0412/doubt?property=vents");
    asked("GET", "/api/boxes/TM-0412/doubt");
    asked("GET", "/api/boxes/TM-9999/doubt?property=vents");
    told("suspects-listed", {{"property", "seals"}, {"since", "2020-01-01T00:00:00Z"}, {"why", "cut"}});
    told("lot-dealt-with",
         {{"trace", "TM-0412/T1"}, {"lot", 0}, {"good", 170}, {"bad", 4}, {"what", "sorted"}});
    told("job-raised", {{"what", "bush worn"},
                        {"skill", "fitting"},
                        {"hours", 2},
                        {"parts", {{{"spare", "PIN-12"}, {"count", 1}}}}});
    told("job-started", {{"job", "TM-0412/J1"}, {"fitter", "Yusuf"}});
    told("run-planned", {{"start", "2099-01-01T00:00:00Z"},
                         {"quantity", 100},
                         {"importance", 2},
                         {"station", "Station 2"},
                         {"order", "W-2"}});
    told("quarantined", {{"why", "cracked casting"}});
    asked("GET", "/api/boxes/TM-0412");
    asked("GET", "/api/boxes/TM-9999");
    asked("GET", "/api/find?words=volute");
    asked("GET", "/api/find");
  }

  void measured() {
    const std::string at = "/api/boxes/TM-0412/measurements";
    for (int i = 0; i < 30; ++i)
      asked("POST", at,
            {{"request", "weight-" + std::to_string(100 + i)},
             {"of", "core weight"},
             {"unit", "g"},
             {"value", 2140.0 + i % 7},
             {"run", "TM-0412/1"}});
    asked("POST", at, {{"request", "weight-kilo"}, {"of", "core weight"}, {"unit", "kg"}, {"value", 2.1}});
    asked("POST", at, {{"request", "weight-none"}, {"of", "core weight"}, {"unit", "g"}});
    asked("POST", "/api/boxes/TM-9999/measurements", {{"request", "weight-lost"}});
    const json strike{
        {"request", "strike-one"}, {"of", "core weight"}, {"number", 3}, {"why", "scale was not empty"}};
    asked("POST", at + "/struck", strike);
    asked("POST", "/api/boxes/TM-9999/measurements/struck", strike);
    asked("GET", at + "?of=core%20weight&last=20");
    asked("GET", at + "?of=core%20weight&last=x");
    asked("GET", "/api/boxes/TM-9999/measurements");
    asked("GET", "/api/boxes/TM-0412/chart?of=core%20weight&baseline=20");
    asked("GET", "/api/boxes/TM-0412/chart");
    asked("GET", "/api/boxes/TM-0412/chart?of=print%20diameter");
  }

  void closes() {
    told("registered",
         {{"name", "Cover core"}, {"makes", "a cover"}, {"process", "cold-box"}, {"material", "wood"}},
         "/api/boxes/TM-0500");
    const std::string closing = "/api/boxes/TM-0412/closing";
    asked("GET", closing);
    asked("POST", closing, {{"dowels", json::array()}, {"clamps", json::array()}});
    asked("POST", closing, {{"dowels", "two"}});
    for (const std::string without : {"/api/boxes/TM-0500/closing", "/api/boxes/TM-9999/closing"}) {
      asked("GET", without);
      asked("POST", without, json::object());
    }
  }

  void scanned(const demo::InventedCore& core) {
    const auto send = [&](const std::string& box, const std::string& query, const std::string& bytes) {
      const Sent sent{.method = "POST",
                      .target = "/api/boxes/" + box + "/scans?" + query,
                      .body = bytes,
                      .type = "application/octet-stream"};
      return held_against_the_document(sent, ask(sent));
    };
    demo::BoxFaults faults;
    faults.mismatch_mm = {0.9, 0};
    const json queued = send("TM-0412", "file=first.ply&unit=mm", scan_of(core, faults));
    send("TM-0412", "file=first.ply&unit=furlong", "x");
    send("TM-9999", "file=first.ply", "x");
    const std::string job = "/api/jobs/" + queued["id"].get<std::string>();
    const json over = job_when_over(queued["id"]);
    ASSERT_EQ(over["state"], "done") << over;
    asked("GET", job);
    asked("GET", "/api/jobs/none");
    asked("POST", "/api/jobs/none/body", {{"design_body", 1}});
    const std::string reading = "/api/readings/" + over["reading"].get<std::string>();
    for (const std::string part : {"", "/surface", "/section"}) {
      asked("GET", reading + part);
      asked("GET", "/api/readings/none" + part);
    }
    const json bad = send("TM-0412", "file=bad.ply&unit=mm", "no scan at all");
    job_when_over(bad["id"]);
    asked("GET", "/api/jobs/" + bad["id"].get<std::string>());
    const json stopped = send("TM-0412", "file=third.ply&unit=mm", scan_of(core, faults));
    asked("DELETE", "/api/jobs/" + stopped["id"].get<std::string>());
    asked("DELETE", "/api/jobs/none");
  }

  void air_is_studied() {
    const std::string air = "/api/boxes/TM-0412/air";
    asked("GET", air);
    const json queued = asked("POST", air, {{"vents", json::array()}});
    const json over = job_when_over(queued["id"]);
    ASSERT_EQ(over["state"], "done") << over;
    const std::string study = "/api/air-studies/" + asked("GET", air)["study"].get<std::string>();
    asked("GET", study);
    asked("GET", study + "/cavity");
    asked("GET", "/api/air-studies/none");
  }

  void looked_over() {
    asked("GET", "/api/boxes/TM-0412/diagnosis");
    asked("GET", "/api/diagnosis/learning");
    asked("GET", "/api/tool-room/plan");
    const json notices = asked("GET", "/api/notices");
    const Sent calendar{.method = "GET", .target = notices["calendar"].get<std::string>()};
    held_against_the_document(calendar, ask(calendar));
  }

  void photo_is_kept() {
    const auto send = [&](const std::string& bytes) {
      const Sent sent{
          .method = "POST", .target = "/api/photos", .body = bytes, .type = "application/octet-stream"};
      return held_against_the_document(sent, ask(sent));
    };
    send("no photo at all");
    const json kept = send("\x89PNG\r\n\x1A\n and what would follow");
    asked("GET", "/api/photos/" + kept["photo"].get<std::string>());
    asked("GET", "/api/photos/none");
    const Sent drawing{
        .method = "POST", .target = "/api/files", .body = "a drawing", .type = "application/octet-stream"};
    const json file = held_against_the_document(drawing, ask(drawing));
    asked("GET", "/api/files/" + file["file"].get<std::string>());
    asked("GET", "/api/files/none");
    json look = inspection("request-photo");
    look["results"][0]["photo"] = kept["photo"];
    asked("POST", "/api/boxes/TM-0412/inspections", look);
  }

  void rack_is_counted() {
    asked("POST", "/api/stock-takes",
          {{"request", "stock-take-1"},
           {"rack", "Rack B"},
           {"read", {{{"code", "TM-0412-A"}, {"bay", "Rack B, bay 9"}}, {{"code", "TM-7777"}}}}});
    asked("POST", "/api/stock-takes", {{"request", "stock-take-2"}});
  }

  // The stream does not end: its header is looked at, then the line is let go.
  void listened() {
    testing_client::Wire wire(service_->port());
    wire.send("GET /api/events HTTP/1.1\r\nHost: 127.0.0.1\r\nCookie: " + cookie_ + "\r\n\r\n");
    const std::string head = wire.receive_until("\r\n\r\n");
    EXPECT_TRUE(head.starts_with("HTTP/1.1 200")) << head;
    EXPECT_THAT(head, testing::HasSubstr("text/event-stream"));
    seen_["events"].insert("200");
  }

  // A STEP file of several bodies has tests of its own; here it is only refused.
  void every_route_was_asked() {
    for (const auto& [path, operations] : document_["paths"].items())
      for (const auto& [verb, operation] : operations.items()) {
        if (!verbs.contains(verb)) continue;
        const auto& statuses = seen_[operation["operationId"]];
        const bool answered = operation["operationId"] == "chooseBody"
                                  ? !statuses.empty()
                                  : std::any_of(statuses.begin(), statuses.end(),
                                                [](const std::string& one) { return one.starts_with("2"); });
        EXPECT_TRUE(answered) << in_capitals(verb) << " " << path << " was never asked with success";
      }
  }
};

TEST_F(Contract, TheDocumentHasEveryRouteOfTheServiceAndNoOther) {
  open();
  std::set<std::string> described;
  for (const auto& [path, operations] : document_["paths"].items())
    for (const auto& [verb, operation] : operations.items())
      if (verbs.contains(verb)) described.insert(in_capitals(verb) + " " + path);
  const auto answered = service_->routes();
  EXPECT_EQ(described, std::set<std::string>(answered.begin(), answered.end()));
}

TEST_F(Contract, EveryReferenceLeadsSomewhereAndEveryOperationHasItsOwnName) {
  std::set<std::string> names;
  const std::function<void(const json&)> look = [&](const json& thing) {
    if (thing.is_object() && thing.contains("$ref")) {
      EXPECT_NO_THROW(resolved(thing, document_));
    }
    if (thing.is_object() && thing.contains("operationId")) {
      EXPECT_TRUE(names.insert(thing["operationId"]).second) << thing["operationId"];
    }
    if (thing.is_structured())
      for (const json& inner : thing) look(inner);
  };
  look(document_);
}

// One box through all of its life, so that every part of every answer occurs.
TEST_F(WholeLife, EveryRouteAnswersAsTheDocumentSays) {
  const demo::InventedCore core = register_with_design();
  open();
  signed_in();
  asked("GET", "/api/checkpoints");
  asked("GET", "/api/checkpoints/text");
  asked("GET", "/api/care?process=cold-box&month=7");
  asked("GET", "/api/boxes/TM-0412/care");
  asked("GET", "/api/openapi.yaml");
  shop_is_told_of_itself();
  parts_are_told();
  box_is_inspected();
  box_is_run();
  doubts_and_jobs();
  measured();
  closes();
  scanned(core);
  air_is_studied();
  looked_over();
  photo_is_kept();
  rack_is_counted();
  asked("GET", "/api/floor");
  asked("GET", "/api/logbook/verify");
  listened();
  told("scrapped", {{"why", "cracked through"}});
  asked("POST", "/api/sign-out");
  every_route_was_asked();
}

}  // namespace
}  // namespace boxfettle::contract
