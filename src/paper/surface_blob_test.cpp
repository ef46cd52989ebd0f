#include "paper/surface_blob.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <cstring>
#include <limits>

#include "paper/section_json.hpp"

namespace boxfettle {
namespace {

template <class Number>
Number at(const std::vector<std::byte>& blob, std::size_t offset) {
  Number number;
  std::memcpy(&number, blob.data() + offset, sizeof number);
  return number;
}

TEST(SurfaceBlob, AWornCoreReadsBackByteForByteAsTheFormatSays) {
  ScanReading reading;
  reading.surface = {{{0, 0, 0}, {10, 0, 0}, {0, 20, 0}, {0, 0, 30}}, {{0, 2, 1}, {0, 1, 3}}};
  reading.vertex_deviation_mm = {0.1f, -0.2f, std::numeric_limits<float>::quiet_NaN(), 0.4f};
  Finding hold{}, watch{};
  hold.vertices = {3};
  watch.vertices = {1, 3};
  reading.findings = {hold, watch};

  const auto blob = surface_blob(reading);
  ASSERT_EQ(blob.size(), 12u + 4 * 12 + 2 * 12 + 4 * 4 + 4 * 2);
  EXPECT_EQ(std::memcmp(blob.data(), "BFS1", 4), 0);
  EXPECT_EQ(at<std::uint32_t>(blob, 4), 4u);
  EXPECT_EQ(at<std::uint32_t>(blob, 8), 2u);
  EXPECT_EQ(at<float>(blob, 12 + 3 * 4), 10.0f);       // x of vertex 1
  EXPECT_EQ(at<float>(blob, 12 + 11 * 4), 30.0f);      // z of vertex 3
  EXPECT_EQ(at<std::uint32_t>(blob, 60 + 5 * 4), 3u);  // last corner
  EXPECT_EQ(at<float>(blob, 84 + 4), -0.2f);
  EXPECT_TRUE(std::isnan(at<float>(blob, 84 + 8)));
  EXPECT_EQ(at<std::uint16_t>(blob, 100), 0);
  EXPECT_EQ(at<std::uint16_t>(blob, 102), 2);
  EXPECT_EQ(at<std::uint16_t>(blob, 106), 1) << "the harder finding shows where two overlap";
}

TEST(SurfaceBlob, VerticesTheReadingSaysNothingOfAreUnseen) {
  ScanReading reading;
  reading.surface = {{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}, {{0, 1, 2}}};
  const auto blob = surface_blob(reading);
  for (std::size_t i = 0; i < 3; ++i) EXPECT_TRUE(std::isnan(at<float>(blob, 12 + 36 + 12 + 4 * i)));
}

TEST(SectionJson, PointsAreToldInThePartingFacesOwnAxes) {
  const auto parting = PartingFace::through({0, 0, 5}, {1, 0, 0});
  PartingSection section;
  section.design.push_back({{parting.at_design_mm({3, 4.00049})}, true});
  const auto json = section_json(section, parting);
  EXPECT_EQ(json.dump(), R"({"design":[{"closed":true,"points_mm":[[3.0,4.0]]}],"measured":[]})");
}

}  // namespace
}  // namespace boxfettle
