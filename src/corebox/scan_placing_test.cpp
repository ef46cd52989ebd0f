#include "corebox/scan_placing.hpp"

#include <gmock/gmock.h>

#include "corebox/box_file.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;

const std::string head = "[box]\nid = \"TM-1\"\n[parting]\npoint_mm = [0, 0, 0]\nnormal = [0, 0, 1]\n";

std::string target(const std::string& id, const std::string& at, const std::string& scan) {
  return "[[datum_target]]\nid = \"" + id + "\"\nat_mm = " + at + "\nscan_mm = " + scan + "\n";
}

std::string refusal(const std::string& text) {
  try {
    parse_box_file(text, "box.toml");
  } catch (const InputError& error) {
    return error.what() + std::string(" ") + error.mend();
  }
  return "";
}

// A quarter turn about z and a shift: (x, y, z) of the design lies at (-y + 10, x + 20, z + 30) of the scan.
const std::string three = target("A", "[0, 0, 0]", "[10, 20, 30]") +
                          target("B", "[100, 0, 0]", "[10, 120, 30]") +
                          target("C", "[0, 50, 0]", "[-40, 20, 30]");

TEST(ScanPlacing, ThreeDatumTargetsTellHowTheScanLies) {
  const CoreBox box = parse_box_file(head + three, "box.toml");
  ASSERT_TRUE(box.rough_design_from_scan);
  const Eigen::Vector3d back = *box.rough_design_from_scan * Eigen::Vector3d(-40, 120, 35);
  EXPECT_LT((back - Eigen::Vector3d(100, 50, 5)).norm(), 1e-9);
}

TEST(ScanPlacing, AScanPoseIsTakenAsGivenAndWrittenBack) {
  const std::string pose =
      "[scan_pose]\nrotation = [0, 1, 0, -1, 0, 0, 0, 0, 1]\ntranslation_mm = [1, 2, 3]\n";
  const CoreBox box = parse_box_file(head + pose, "box.toml");
  ASSERT_TRUE(box.rough_design_from_scan);
  EXPECT_LT((*box.rough_design_from_scan * Eigen::Vector3d(5, 0, 0) - Eigen::Vector3d(1, -3, 3)).norm(),
            1e-9);
  EXPECT_EQ(parse_box_file(write_box_file(box), "again.toml"), box);
}

TEST(ScanPlacing, ABoxThatSaysNothingOfItLeavesItOpen) {
  EXPECT_FALSE(parse_box_file(head, "box.toml").rough_design_from_scan);
}

TEST(ScanPlacing, TargetsThatCannotTellAreRefusedWithTheReason) {
  EXPECT_THAT(refusal(head + target("A", "[0, 0, 0]", "[0, 0, 0]")), HasSubstr("fewer than three"));
  EXPECT_THAT(refusal(head + target("A", "[0, 0, 0]", "[0, 0, 0]") + target("B", "[50, 0, 0]", "[50, 0, 0]") +
                      target("C", "[100, 0, 0]", "[100, 0, 0]")),
              HasSubstr("on a line"));
  EXPECT_THAT(refusal(head + three + target("D", "[0, 0, 80]", "[10, 20, 150]")),
              HasSubstr("pick them again"));
  EXPECT_THAT(
      refusal(head + "[scan_pose]\nrotation = [1, 0, 0, 0, 1, 0, 0, 0, 2]\ntranslation_mm = [0, 0, 0]\n"),
      HasSubstr("not a rotation"));
  EXPECT_THAT(refusal(head + three +
                      "[scan_pose]\nrotation = [1, 0, 0, 0, 1, 0, 0, 0, 1]\ntranslation_mm = [0, 0, 0]\n"),
              HasSubstr("keep one of the two"));
}

}  // namespace
}  // namespace boxfettle
