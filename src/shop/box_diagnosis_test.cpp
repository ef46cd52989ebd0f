#include "shop/box_diagnosis.hpp"

#include <gmock/gmock.h>

#include "shop/told_box.hpp"

namespace boxfettle {
namespace {

using namespace std::chrono_literals;

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");
const FaultNetwork& network = shipped_faults();

const FaultInDoubt& fault_in(const BoxDiagnosis& told, std::string_view id) {
  const std::size_t wanted = *network.fault_named(id);
  return *std::ranges::find(told.faults, wanted, &FaultInDoubt::fault);
}

BoxDiagnosis diagnosed(const ToldBox& box, const Catalogue& catalogue = shipped_catalogue()) {
  return *diagnose_box(present_doubt(box.state, network, monday + 2h), network, catalogue);
}

ToldBox box_that_does_not_fill() {
  ToldBox box;
  box.tell(
      monday,
      DefectSeen{.defect = CoreDefect::not_filled, .count = 1, .run = {}, .x = {}, .y = {}, .remark = {}});
  return box;
}

TEST(BoxDiagnosis, NamesTheMostProbableFaultFirstAndWhatItExplains) {
  ToldBox box = box_that_does_not_fill();
  box.tell(monday + 1h, looked("vents", false));
  const BoxDiagnosis told = diagnosed(box);
  EXPECT_EQ(network.faults[told.faults.front().fault].id, "vents-plugged");
  EXPECT_THAT(
      told.faults.front().explains,
      testing::UnorderedElementsAre(*network.finding_named("not-filled"), *network.finding_named("vents")));
  for (std::size_t i = 1; i < told.faults.size(); ++i)
    EXPECT_GE(told.faults[i - 1].probability, told.faults[i].probability);
}

TEST(BoxDiagnosis, WeighsEachFindingByWhatTheFaultWouldBeWithoutIt) {
  ToldBox box = box_that_does_not_fill();
  const double alone = fault_in(diagnosed(box), "vents-plugged").probability;
  box.tell(monday + 1h, looked("vents", true));
  const FaultInDoubt vents = fault_in(diagnosed(box), "vents-plugged");
  ASSERT_FALSE(vents.weighed.empty());
  EXPECT_EQ(vents.weighed.front().finding, *network.finding_named("vents"));
  EXPECT_FALSE(vents.weighed.front().seen);
  EXPECT_NEAR(vents.weighed.front().without, alone, 1e-12);
  EXPECT_LT(vents.probability, alone);
}

TEST(BoxDiagnosis, SendsToNoCheckpointThatIsNotInTheShopsCatalogue) {
  Catalogue without_vents = shipped_catalogue();
  std::erase_if(without_vents.checkpoints, [](const Checkpoint& point) { return point.id == "vents"; });
  const ToldBox box = box_that_does_not_fill();
  const auto named = [](const NextCheck& check) { return network.findings[check.finding].id; };
  EXPECT_EQ(named(diagnosed(box).checks.front()), "vents");
  for (const NextCheck& check : diagnosed(box, without_vents).checks) EXPECT_NE(named(check), "vents");
}

TEST(BoxDiagnosis, SendsToNoCheckpointLookedAtAlready) {
  ToldBox box = box_that_does_not_fill();
  box.tell(monday + 1h, looked("vents", true));
  for (const NextCheck& check : diagnosed(box).checks)
    EXPECT_NE(check.finding, *network.finding_named("vents"));
}

TEST(BoxDiagnosis, TellsNothingOfABoxWithTooManyThingsWrong) {
  ToldBox box;
  for (std::size_t i = 0; i < core_defect_names.size(); ++i)
    box.tell(
        monday,
        DefectSeen{
            .defect = static_cast<CoreDefect>(i), .count = 1, .run = {}, .x = {}, .y = {}, .remark = {}});
  for (const char* checkpoint : {"vents", "seals", "dowels", "clamps"})
    box.tell(monday, looked(checkpoint, false));
  EXPECT_FALSE(diagnose_box(present_doubt(box.state, network, monday), network, shipped_catalogue()));
}

}  // namespace
}  // namespace boxfettle
