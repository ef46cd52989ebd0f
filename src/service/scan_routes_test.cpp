// Scans of the box itself, and designs that leave a choice, as the page hands them in.
#include <gmock/gmock.h>

#include <nlohmann/json.hpp>

#include "corebox/box_file.hpp"
#include "demo/invented_cores.hpp"
#include "demo/synthetic_half.hpp"
#include "geometry/surface_file.hpp"
#include "input/whole_file.hpp"
#include "service/served_shop.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing_client::Answer;

class ShopWithScans : public ServedShop {
 protected:
  BoxRegistered with_design(const std::filesystem::path& file) {
    BoxRegistered registration;
    registration.design = store_.files.put(WholeFile(file).bytes());
    registration.design_name = file.filename().string();
    return registration;
  }

  demo::InventedCore register_volute() {
    demo::InventedCore core = demo::pump_volute(3.0);
    const auto stl = scratch_.path() / "volute.stl";
    write_binary_stl(core.design, stl);
    BoxRegistered registration = with_design(stl);
    const std::string box_file = write_box_file(core.box);
    registration.box_file = store_.files.put(std::as_bytes(std::span(box_file)));
    register_box(registration);
    return core;
  }

  std::string bytes_of(const PointCloud& points) {
    const auto path = scratch_.path() / "scan.ply";
    write_binary_ply(points, path);
    return std::string(WholeFile(path).text());
  }

  json answered(const std::string& target) { return json::parse(ask({.target = target}).body); }

  Answer choose(const std::string& job, const std::string& body) {
    return ask({.method = "POST",
                .target = "/api/jobs/" + job + "/body",
                .body = body,
                .type = "application/json"});
  }
};

TEST_F(ShopWithScans, AHalfScannedItselfTellsItsFaceAndDowelsAndHoldsTheBox) {
  const demo::InventedCore core = register_volute();
  demo::HalfFaults faults;
  faults.face_offset_mm = 0.3;  // beyond the gap limit
  faults.dowels = {{core.box.dowels[0].id, {0.1, 0}, 0.1}};
  const demo::ToolHalf tool(core.design, core.box, Half::upper, faults);
  demo::Scanner scanner;
  scanner.points = 100'000;
  const std::string scan = bytes_of(demo::scan_half(tool, scanner).points);
  open_as("Ada", "sand and resin");
  inspect(inspection("request-good"));
  const Answer queued = send_scan(scan, "file=upper.ply&unit=mm&of=half-upper");
  ASSERT_EQ(queued.status, 202) << queued.body;
  const json job = job_when_over(json::parse(queued.body)["id"]);
  ASSERT_EQ(job["state"], "done") << job;

  const std::string reading = "/api/readings/" + job["reading"].get<std::string>();
  const json told = answered(reading);
  EXPECT_EQ(told["of"], "half-upper");
  EXPECT_FALSE(told.contains("halves"));
  EXPECT_NEAR(told["parting_face"]["offset_mm"].get<double>(), 0.3, 0.02);
  EXPECT_EQ(told["dowels"].size(), core.box.dowels.size());
  EXPECT_EQ(ask({.target = reading + "/surface"}).body.substr(0, 4), "BFS1");
  EXPECT_EQ(ask({.target = reading + "/section"}).status, 404) << "only a core is cut";

  const json page = box_page();
  EXPECT_EQ(page["readings"][0]["of"], "half-upper");
  EXPECT_THAT(page["logbook"][0]["text"], HasSubstr("Scan of the upper half upper.ply read: hold"));
  EXPECT_EQ(page["verdict"]["state"], "hold");
}

TEST_F(ShopWithScans, AHalfIsReadOnlyWhereABoxFileSaysHowItParts) {
  const auto stl = scratch_.path() / "volute.stl";
  write_binary_stl(demo::pump_volute(6.0).design, stl);
  register_box(with_design(stl));
  open_as("Ada", "sand and resin");
  const Answer refused = send_scan("scan", "file=a.ply&of=half-lower");
  EXPECT_EQ(refused.status, 422);
  EXPECT_THAT(refused.body, HasSubstr("no box file"));
  EXPECT_EQ(json::parse(send_scan("scan", "file=a.ply&of=lid").body)["place"], "of");
}

TEST_F(ShopWithScans, ADesignOfSeveralBodiesAsksWhichOneAndIsReadWithTheAnswer) {
  const std::filesystem::path two =
      std::filesystem::path(BOXFETTLE_SOURCE_DIR) / "fuzz/corpus/step/two_bodies.step";
  register_box(with_design(two));
  StepReading second;
  second.body = 2;
  const auto stl = scratch_.path() / "second.stl";
  write_binary_stl(std::get<TriangleMesh>(read_surface_file(two, second).surface), stl);
  open_as("Ada", "sand and resin");
  const std::string id =
      json::parse(send_scan(std::string(WholeFile(stl).text()), "file=first.stl&unit=mm").body)["id"];
  const json asked = job_when_over(id);
  ASSERT_EQ(asked["state"], "failed");
  EXPECT_THAT(asked["problem"]["what"], HasSubstr("holds 2 bodies"));
  ASSERT_EQ(asked["bodies"].size(), 2u) << asked;
  EXPECT_EQ(asked["bodies"][1]["number"], 2);
  EXPECT_GT(asked["bodies"][1]["size_mm"][0], 0.0);

  EXPECT_EQ(choose(id, "{}").status, 422);
  EXPECT_EQ(choose(id, R"({"design_body":1.5})").status, 422);
  EXPECT_EQ(choose("nothing", R"({"design_body":2})").status, 404);
  const Answer again = choose(id, R"({"design_body":2})");
  ASSERT_EQ(again.status, 202) << again.body;
  const json done = job_when_over(json::parse(again.body)["id"]);
  ASSERT_EQ(done["state"], "done") << done;
  EXPECT_THAT(answered("/api/readings/" + done["reading"].get<std::string>())["notes"].dump(),
              HasSubstr("Body 2 of 2"));
  EXPECT_EQ(choose(done["id"], R"({"design_body":2})").status, 409) << "it waits for nothing";
}

}  // namespace
}  // namespace boxfettle
