#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

#include "geometry/surface_file_test_shapes.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

template <typename Value>
void put(std::string& bytes, Value value, bool big_endian) {
  char raw[sizeof(Value)];
  std::memcpy(raw, &value, sizeof value);
  if (big_endian) std::reverse(raw, raw + sizeof raw);
  bytes.append(raw, sizeof raw);
}

// Properties out of order, of mixed types, with strangers among them.
std::string odd_binary_block(bool big_endian) {
  const TriangleMesh mesh = block();
  std::string bytes =
      "ply\nformat binary_" + std::string(big_endian ? "big" : "little") +
      "_endian 1.0\ncomment a block\n"
      "element camera 1\nproperty list uchar short shots\n"
      "element vertex 8\nproperty uchar red\nproperty double z\nproperty float x\nproperty int16 y\n"
      "element face 12\nproperty float quality\nproperty list uint8 uint vertex_index\nend_header\n";
  put<std::uint8_t>(bytes, 2, big_endian);
  for (const std::int16_t shot : {std::int16_t{7}, std::int16_t{8}}) put(bytes, shot, big_endian);
  for (const Eigen::Vector3d& v : mesh.vertices) {
    put<std::uint8_t>(bytes, 255, big_endian);
    put<double>(bytes, v.z(), big_endian);
    put<float>(bytes, static_cast<float>(v.x()), big_endian);
    put<std::int16_t>(bytes, static_cast<std::int16_t>(v.y()), big_endian);
  }
  for (const Triangle& t : mesh.triangles) {
    put<float>(bytes, 0.5f, big_endian);
    put<std::uint8_t>(bytes, 3, big_endian);
    for (const std::uint32_t v : t) put<std::uint32_t>(bytes, v, big_endian);
  }
  return bytes;
}

constexpr std::string_view ascii_tile =
    "ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\nproperty float z\n"
    "element face 1\nproperty list uchar int vertex_indices\nend_header\n"
    "0 0 0\n4 0 0\n4 3 0\n0 3 0\n4 0 1 2 3\n";

TEST(PlyFile, ABlockIsTheSameInBothByteOrdersWhateverTheOrderOfProperties) {
  for (const bool big_endian : {false, true}) {
    const SurfaceFile file = read_text(odd_binary_block(big_endian), "block.ply");
    EXPECT_EQ(file.kind, "binary PLY");
    const auto& mesh = std::get<TriangleMesh>(file.surface);
    EXPECT_EQ(mesh.vertices, block().vertices);
    EXPECT_EQ(mesh.triangles, block().triangles);
  }
}

TEST(PlyFile, APolygonIsSplitIntoAFan) {
  const SurfaceFile file = read_text(ascii_tile, "tile.ply");
  EXPECT_EQ(file.kind, "ASCII PLY");
  EXPECT_EQ(std::get<TriangleMesh>(file.surface).triangles, (std::vector<Triangle>{{0, 1, 2}, {0, 2, 3}}));
}

std::string ascii_points(const std::string& count, const std::string& body) {
  return "ply\r\nformat ascii 1.0\r\nelement vertex " + count +
         "\r\nproperty float nx\r\nproperty float ny\r\nproperty float nz\r\nproperty float x\r\nproperty "
         "float y\r\n"
         "property float z\r\nelement face 0\r\nproperty list uchar int vertex_indices\r\nend_header\r\n" +
         body;
}

TEST(PlyFile, PointsKeepTheirNormalsWhenEveryPointHasOne) {
  const auto points =
      std::get<PointCloud>(read_text(ascii_points("2", "0 0 2 1 2 3\r\n0 1 0 4 5 6"), "a.ply").surface);
  EXPECT_EQ(points.normals.at(0), Eigen::Vector3f(0, 0, 1));
  EXPECT_EQ(points.point_mm(1), Eigen::Vector3d(4, 5, 6));
  const auto untold =
      std::get<PointCloud>(read_text(ascii_points("2", "0 0 1 1 2 3\n0 0 0 4 5 6\n"), "a.ply").surface);
  EXPECT_EQ(untold.size(), 2u);
  EXPECT_TRUE(untold.normals.empty());
}

void expect_refused(std::string_view bytes, const std::string& place, const std::string& what) {
  EXPECT_THAT([&] { read_text(bytes, "scan.ply"); },
              ThrowsMessage<InputError>(testing::AllOf(HasSubstr(place), HasSubstr(what))));
}

std::string with(std::string_view from, std::string_view to) {
  std::string text(ascii_tile);
  return text.replace(text.find(from), from.size(), to);
}

TEST(PlyFile, CountsThatTheFileCannotHoldAreRefusedBeforeAnythingIsAllocated) {
  expect_refused(with("vertex 4", "vertex 4000000000"), "header", "counts 4000000000 of element 'vertex'");
  expect_refused(with("face 1", "face 9223372036854775807"), "header",
                 "counts 9223372036854775807 of element 'face'");
  expect_refused(with("vertex 4", "vertex -4"), "line 3", "not a whole number");
  expect_refused(with("\n4 0 1 2 3", "\n4000000000 0 1 2 3"), "line 14",
                 "a length that the file cannot hold");
  expect_refused(with("\n4 0 1 2 3", "\n3.5 0 1 2 3"), "line 14", "a length that the file cannot hold");
  expect_refused(
      with("element face 1\nproperty list uchar int vertex_indices\n", "element dust 9000000000000\n"),
      "header", "has no property");
}

TEST(PlyFile, AFaceThatAsksForAMissingVertexIsRefusedWithItsLine) {
  expect_refused(with("0 1 2 3", "0 1 2 4"), "line 14", "not one of the 4");
  expect_refused(with("0 1 2 3", "0 1 2 -1"), "line 14", "not one of the 4");
  expect_refused(with("0 1 2 3", "0 1 2 nan"), "line 14", "not one of the 4");
  expect_refused(with("4 0 1 2 3", "2 0 1"), "line 14", "fewer than three corners");
}

TEST(PlyFile, BadNumbersAreRefusedWithTheirVertex) {
  expect_refused(with("4 3 0", "4 nan 0"), "vertex 3, line 12", "not a finite number");
  expect_refused(with("4 3 0", "4 -inf 0"), "vertex 3, line 12", "not a finite number");
  expect_refused(with("4 3 0", "4 1e12 0"), "vertex 3, line 12", "larger than 10,000,000");
  expect_refused(with("4 3 0", "4 gravel 0"), "line 12", "'gravel' is not a number");
}

// Points of mixed types with normals; an empty list behind each makes the rows differ in length, as far as a
// header can tell.
std::string binary_points(const std::vector<Eigen::Vector3d>& points, bool big_endian, bool with_list) {
  std::string bytes = "ply\nformat binary_" + std::string(big_endian ? "big" : "little") +
                      "_endian 1.0\nelement vertex " + std::to_string(points.size()) +
                      "\nproperty uchar red\nproperty double y\nproperty float x\nproperty double z\n"
                      "property float nx\nproperty float ny\nproperty double nz\n" +
                      (with_list ? "property list uchar int marks\n" : "") + "end_header\n";
  for (const Eigen::Vector3d& p : points) {
    put<std::uint8_t>(bytes, 9, big_endian);
    put<double>(bytes, p.y(), big_endian);
    put<float>(bytes, static_cast<float>(p.x()), big_endian);
    put<double>(bytes, p.z(), big_endian);
    put<float>(bytes, 0.5f, big_endian);
    put<float>(bytes, -2.0f, big_endian);
    put<double>(bytes, p.x(), big_endian);
    if (with_list) put<std::uint8_t>(bytes, 0, big_endian);
  }
  return bytes;
}

TEST(PlyFile, PointsReadSideBySideAreThoseReadOneAfterAnother) {
  std::vector<Eigen::Vector3d> points;
  for (int i = 0; i < 50000; ++i) points.emplace_back(100 + 0.01 * i, std::sin(i), -3.25 * std::cos(0.1 * i));
  for (const bool big_endian : {false, true}) {
    const auto cloud_of = [&](bool with_list) {
      return std::get<PointCloud>(
          read_text(binary_points(points, big_endian, with_list), "scan.ply").surface);
    };
    const PointCloud beside = cloud_of(false), after = cloud_of(true);
    EXPECT_EQ(beside.origin_mm, after.origin_mm);
    EXPECT_EQ(beside.offsets_mm, after.offsets_mm);
    EXPECT_EQ(beside.normals, after.normals);
    EXPECT_LT((beside.point_mm(40000) - points[40000]).norm(), 1e-4);
    EXPECT_EQ(beside.normals.size(), points.size());
  }
}

TEST(PlyFile, TheFirstBadNumberOfManyIsTheOneRefused) {
  std::vector<Eigen::Vector3d> points(60000, {1, 2, 3});
  points[59000].z() = 1e12;
  points[20002].y() = std::numeric_limits<double>::quiet_NaN();
  points[20001].z() = std::numeric_limits<double>::infinity();
  for (const bool with_list : {false, true})
    expect_refused(binary_points(points, false, with_list), "vertex 20002, byte", "not a finite number");
}

TEST(PlyFile, AHeaderThatIsNotPlysIsRefusedWithItsLine) {
  expect_refused(with("format ascii", "format runes"), "line 2", "unknown format 'runes'");
  expect_refused(with("float x", "rune x"), "line 4", "unknown type 'rune'");
  expect_refused(with("float x", "float u"), "header", "no x, y and z");
  expect_refused(with("vertex_indices", "corners"), "header", "no list vertex_indices");
  expect_refused(with("element face 1", "element vertex 1"), "line 7", "stands twice");
  expect_refused(with("end_header", "on_we_go"), "line 9", "does not know 'on_we_go'");
  expect_refused("ply\nformat ascii 1.0\n", "line 2", "no end_header");
  expect_refused(ascii_points("0", ""), "header", "holds no vertex");
}

TEST(PlyFile, MoreInTheBodyThanTheHeaderCountsIsRefused) {
  expect_refused(std::string(ascii_tile) + "1 2 3\n", "line 15", "more follows");
  expect_refused(odd_binary_block(false) + "left over", "byte", "more follows");
}

TEST(PlyFile, TextOfAnotherKindUnderItsNameIsRefused) {
  expect_refused("1 2 3\n4 5 6\n", "line 1", "does not begin with 'ply'");
}

RC_GTEST_PROP(PlyFile, AnyTruncationOfABinaryPlyIsRefused, ()) {
  const std::string whole = odd_binary_block(*rc::gen::arbitrary<bool>());
  const auto length = *rc::gen::inRange<std::size_t>(0, whole.size());
  RC_ASSERT_THROWS_AS(read_text(std::string_view(whole).substr(0, length), "block.ply"), InputError);
}

RC_GTEST_PROP(PlyFile, FlippedBytesAreReadOrRefusedButNeverCrash, ()) {
  std::string bytes =
      *rc::gen::element(odd_binary_block(false), odd_binary_block(true), std::string(ascii_tile));
  for (int i = *rc::gen::inRange(1, 6); i > 0; --i)
    bytes[*rc::gen::inRange<std::size_t>(0, bytes.size())] = *rc::gen::arbitrary<char>();
  try {
    const SurfaceFile file = read_text(bytes, "block.ply");
    if (const auto* mesh = std::get_if<TriangleMesh>(&file.surface))
      for (const Triangle& t : mesh->triangles)
        for (const std::uint32_t v : t) RC_ASSERT(v < mesh->vertices.size());
  } catch (const InputError& refused) {
    RC_ASSERT(!refused.mend().empty());
  }
}

}  // namespace
}  // namespace boxfettle
