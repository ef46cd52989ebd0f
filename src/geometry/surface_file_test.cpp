#include "geometry/surface_file.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>
#include <unistd.h>

#include <fstream>
#include <limits>

#include "geometry/surface_file_test_shapes.hpp"
#include "input/input_error.hpp"
#include "input/whole_file.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

class SurfaceFileOnDisk : public testing::Test {
 protected:
  SurfaceFileOnDisk() { fs::create_directories(folder_); }
  ~SurfaceFileOnDisk() override { fs::remove_all(folder_); }

  fs::path folder_ = fs::temp_directory_path() / ("boxfettle_surface_" + std::to_string(::getpid()));
};

TEST_F(SurfaceFileOnDisk, AWrittenBlockIsReadBackCornerByCorner) {
  write_binary_stl(block(), folder_ / "block.stl");
  const TriangleMesh mesh = read_mesh_file(folder_ / "block.stl");
  ASSERT_EQ(mesh.triangles.size(), 12u);
  for (std::size_t t = 0; t < 12; ++t)
    for (int c = 0; c < 3; ++c) EXPECT_EQ(mesh.corner(t, c), block().corner(t, c));
}

TEST_F(SurfaceFileOnDisk, AWrittenStlCarriesOutwardNormals) {
  write_binary_stl(block(), folder_ / "block.stl");
  Eigen::Vector3f normal;
  std::memcpy(normal.data(), WholeFile(folder_ / "block.stl").bytes().data() + 84, sizeof normal);
  EXPECT_EQ(normal, Eigen::Vector3f(0, 0, -1));
}

TEST_F(SurfaceFileOnDisk, WrittenPointsAreReadBackWithTheirNormalsFarFromZero) {
  PointCloud points;
  points.origin_mm = {1e6, -2e6, 3e6};
  points.offsets_mm = {{0.125f, 0, 0}, {1, 2, 3.0625f}};
  points.normals = {{0, 0, 1}, {0, 1, 0}};
  write_binary_ply(points, folder_ / "scan.ply");
  const SurfaceFile file = read_surface_file(folder_ / "scan.ply");
  const auto& read = std::get<PointCloud>(file.surface);
  ASSERT_EQ(read.size(), 2u);
  for (std::size_t i = 0; i < 2; ++i) EXPECT_EQ(read.point_mm(i), points.point_mm(i));
  EXPECT_EQ(read.normals, points.normals);
}

PointCloud many_points() {
  PointCloud points;
  points.origin_mm = {100, 200, 300};
  for (int i = 0; i < 30000; ++i) {
    points.offsets_mm.emplace_back(static_cast<float>(i) / 64, static_cast<float>(i % 97), 0.25f);
    points.normals.emplace_back(i % 2 == 0 ? Eigen::Vector3f::UnitX() : Eigen::Vector3f::UnitY());
  }
  return points;
}

TEST_F(SurfaceFileOnDisk, AScanReadInStretchesKeepsEveryPointInItsPlace) {
  const PointCloud points = many_points();
  write_binary_ply(points, folder_ / "scan.ply");
  const SurfaceFile file = read_surface_file(folder_ / "scan.ply");
  const auto& read = std::get<PointCloud>(file.surface);
  ASSERT_EQ(read.size(), points.size());
  for (std::size_t i = 0; i < points.size(); ++i) ASSERT_EQ(read.point_mm(i), points.point_mm(i)) << i;
  EXPECT_EQ(read.normals, points.normals);
}

TEST_F(SurfaceFileOnDisk, TheFirstPointThatIsNowhereIsNamedHoweverManyStretchesHoldOne) {
  PointCloud points = many_points();
  for (const std::size_t nowhere : {29000u, 12345u, 20000u})
    points.offsets_mm[nowhere].y() = std::numeric_limits<float>::quiet_NaN();
  write_binary_ply(points, folder_ / "scan.ply");
  EXPECT_THAT([&] { read_surface_file(folder_ / "scan.ply"); },
              testing::ThrowsMessage<InputError>(testing::HasSubstr("vertex 12346, byte ")));
}

TEST_F(SurfaceFileOnDisk, PointsAreRefusedWhereADesignIsNeeded) {
  std::ofstream(folder_ / "scan.xyz") << "1 2 3\n4 5 6\n";
  EXPECT_THAT([&] { read_mesh_file(folder_ / "scan.xyz"); },
              testing::ThrowsMessage<InputError>(testing::HasSubstr("holds points (text points)")));
}

TEST_F(SurfaceFileOnDisk, AnEmptyFileIsRefused) {
  std::ofstream(folder_ / "empty.stl");
  EXPECT_THROW(read_surface_file(folder_ / "empty.stl"), InputError);
  EXPECT_THROW(read_surface_bytes({}, "empty.stl"), InputError);
}

RC_GTEST_PROP(SurfaceFileBytes, NoBytesUnderAnyNameCrashTheReaders, ()) {
  const auto start = *rc::gen::element<std::string>("", "ply\n", "solid ", "v ", "1 2 3\n");
  const auto bytes = start + *rc::gen::arbitrary<std::string>();
  const auto name = *rc::gen::element<std::string>("a.stl", "a.ply", "a.obj", "a.xyz", "a");
  try {
    read_text(bytes, name);
  } catch (const InputError& refused) {
    RC_ASSERT(refused.file() == name);
  }
}

}  // namespace
}  // namespace boxfettle
