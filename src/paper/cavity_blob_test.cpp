#include "paper/cavity_blob.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <cstring>

namespace boxfettle {
namespace {

template <class Number>
Number number_at(const std::vector<std::byte>& blob, std::size_t at) {
  Number number;
  std::memcpy(&number, blob.data() + at, sizeof number);
  return number;
}

CavityPicture row_of_cells(int count) {
  CavityPicture picture;
  picture.low_mm = {1, 2, 3};
  picture.cell_mm = 2.5;
  picture.cells = {count, 1, 1};
  for (int i = 0; i < count; ++i) {
    picture.inside.push_back(i == 0 ? 0.0f : 1.0f);
    picture.age_s.push_back(static_cast<float>(0.1 * std::pow(10, 2.0 * i / (count - 1))));
    picture.fills_at.push_back(static_cast<float>(i) / static_cast<float>(count - 1));
    picture.in_pocket.push_back(i == count - 1);
  }
  return picture;
}

TEST(CavityBlob, ReadsBackAsItsHeaderSays) {
  TriangleMesh design;
  design.vertices = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}};
  design.triangles = {{0, 1, 2}};
  const CavityPicture picture = row_of_cells(401);
  const auto blob = cavity_blob(design, picture);
  ASSERT_EQ(blob.size(), 48 + 12 * 3 + 12 + 4 * 401U);
  EXPECT_EQ(std::memcmp(blob.data(), "BFA1", 4), 0);
  EXPECT_EQ(number_at<std::uint32_t>(blob, 4), 3U);
  EXPECT_EQ(number_at<std::uint32_t>(blob, 8), 1U);
  EXPECT_EQ(number_at<std::uint32_t>(blob, 12), 401U);
  EXPECT_EQ(number_at<float>(blob, 28), 2.0f) << "y of the lowest corner";
  EXPECT_EQ(number_at<float>(blob, 36), 2.5f);
  const double low = static_cast<double>(number_at<float>(blob, 40)),
               high = static_cast<double>(number_at<float>(blob, 44));
  const std::size_t cells = 48 + 36 + 12;
  // Every code within the scale stands for an age within half a step of the true one.
  for (std::size_t i = 5; i < 396; ++i) {
    const double age = low * std::pow(high / low, number_at<std::uint8_t>(blob, cells + 4 * i) / 255.0);
    EXPECT_NEAR(std::log(age / static_cast<double>(picture.age_s[i])), 0, 0.5 * std::log(high / low) / 255 + 1e-6)
        << i;
    EXPECT_EQ(number_at<std::uint8_t>(blob, cells + 4 * i + 1), 255);
    EXPECT_NEAR(number_at<std::uint8_t>(blob, cells + 4 * i + 2) / 255.0, static_cast<double>(i) / 400,
                0.003);
    EXPECT_EQ(number_at<std::uint8_t>(blob, cells + 4 * i + 3), 0);
  }
  EXPECT_EQ(number_at<std::uint8_t>(blob, cells + 1), 0);
  EXPECT_EQ(number_at<std::uint8_t>(blob, cells + 4 * 400 + 3), 255);
}

}  // namespace
}  // namespace boxfettle
