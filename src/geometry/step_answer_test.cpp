// What comes back from the program that reads STEP is outside data: whole and sound, or nothing.
#include "geometry/step_answer.hpp"

#include <gmock/gmock.h>

#include <limits>

namespace boxfettle {
namespace {

StepMesh a_tetrahedron() {
  StepMesh step;
  step.mesh.vertices = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  step.mesh.triangles = {{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}};
  step.deflection_mm = 0.015;
  step.coarsened = true;
  step.unit = "INCH";
  step.bodies = 3;
  step.loose_faces = 7;
  return step;
}

TEST(StepAnswer, AMeshArrivesAsItWasSent) {
  const StepMesh sent = a_tetrahedron();
  const auto answer = read_step_answer(step_answer_bytes(sent));
  ASSERT_TRUE(answer.has_value());
  const StepMesh& got = std::get<StepMesh>(*answer);
  EXPECT_EQ(got.mesh.vertices, sent.mesh.vertices);
  EXPECT_EQ(got.mesh.triangles, sent.mesh.triangles);
  EXPECT_EQ(got.deflection_mm, 0.015);
  EXPECT_TRUE(got.coarsened);
  EXPECT_EQ(got.unit, "INCH");
  EXPECT_EQ(got.bodies, 3u);
  EXPECT_EQ(got.loose_faces, 7u);
}

TEST(StepAnswer, AChoiceOfBodiesAndARefusalArriveAsTheyWereSent) {
  const auto choice =
      read_step_answer(step_answer_bytes(StepChoice{{{"core", {1, 2, 3}}, {"", {4, 5, 6}}}, 9}));
  ASSERT_TRUE(choice.has_value());
  EXPECT_EQ(std::get<StepChoice>(*choice).count, 9u);
  EXPECT_EQ(std::get<StepChoice>(*choice).bodies.at(0).name, "core");
  EXPECT_EQ(std::get<StepChoice>(*choice).bodies.at(1).size_mm, Eigen::Vector3d(4, 5, 6));
  const auto refusal = read_step_answer(step_answer_bytes(StepRefusal{"DATA", "no", "yes"}));
  ASSERT_TRUE(refusal.has_value());
  EXPECT_EQ(std::get<StepRefusal>(*refusal).mend, "yes");
}

TEST(StepAnswer, AnAnswerCutAnywhereOrWithMoreBehindItIsNone) {
  for (const StepAnswer& answer :
       {StepAnswer(a_tetrahedron()), StepAnswer(StepChoice{{{"core", {1, 2, 3}}}, 2}),
        StepAnswer(StepRefusal{"DATA", "no", "yes"})}) {
    std::vector<std::byte> bytes = step_answer_bytes(answer);
    for (std::size_t size = 0; size < bytes.size(); ++size)
      EXPECT_FALSE(read_step_answer(std::span(bytes).first(size)).has_value()) << size;
    bytes.push_back(std::byte{0});
    EXPECT_FALSE(read_step_answer(bytes).has_value());
  }
}

TEST(StepAnswer, AByteChangedGivesASoundAnswerOrNone) {
  const std::vector<std::byte> sent = step_answer_bytes(a_tetrahedron());
  for (std::size_t at = 0; at < sent.size(); ++at) {
    for (const int change : {0x01, 0x80, 0xff}) {
      std::vector<std::byte> bytes = sent;
      bytes[at] ^= static_cast<std::byte>(change);
      const auto answer = read_step_answer(bytes);
      if (!answer || !std::holds_alternative<StepMesh>(*answer)) continue;
      const TriangleMesh& mesh = std::get<StepMesh>(*answer).mesh;
      for (const Triangle& triangle : mesh.triangles)
        for (const std::uint32_t corner : triangle) EXPECT_LT(corner, mesh.vertices.size());
    }
  }
}

TEST(StepAnswer, PlacesThatAreNoneAndIndicesOutOfRangeAreRefused) {
  StepMesh wrong = a_tetrahedron();
  wrong.mesh.vertices[2].y() = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(read_step_answer(step_answer_bytes(wrong)).has_value());
  wrong = a_tetrahedron();
  wrong.mesh.vertices[1].x() = 1e12;
  EXPECT_FALSE(read_step_answer(step_answer_bytes(wrong)).has_value());
  wrong = a_tetrahedron();
  wrong.mesh.triangles[3][1] = 4;
  EXPECT_FALSE(read_step_answer(step_answer_bytes(wrong)).has_value());
}

}  // namespace
}  // namespace boxfettle
