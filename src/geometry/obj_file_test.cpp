#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include "geometry/surface_file_test_shapes.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

constexpr std::string_view tile =
    "# a tile of a core\nmtllib none.mtl\no tile\nv 0 0 0\nv 4 0 0\nv 4 3 0\nv 0 3 0\nvt 0 0\nvn 0 0 1\ns "
    "off\n";

TriangleMesh tile_with(const std::string& faces) {
  return std::get<TriangleMesh>(read_text(std::string(tile) + faces, "tile.obj").surface);
}

TEST(ObjFile, EveryWayOfNamingACornerGivesTheSameTile) {
  for (const char* faces :
       {"f 1 2 3 4\n", "f 1/1 2/1 3/1 4/1\n", "f 1//1 2//1 3//1 4//1\n", "f 1/1/1 2/1/1 3/1/1 4/1/1\n",
        "f -4 -3 -2 -1\n", "f 1 2 3\nf 1 3 4", "f 1 2 3\r\nf 1 3 4\r\n"}) {
    const TriangleMesh mesh = tile_with(faces);
    EXPECT_EQ(mesh.triangles, (std::vector<Triangle>{{0, 1, 2}, {0, 2, 3}})) << faces;
    EXPECT_DOUBLE_EQ(area_mm2(mesh), 12.0) << faces;
  }
}

TEST(ObjFile, AVertexThatNoFaceUsesDoesNotStretchTheBounds) {
  EXPECT_EQ(bounds(tile_with("v 900 900 900\nf 1 2 3 4\n")).high.x(), 4.0);
}

TEST(ObjFile, WithoutFacesItHoldsPointsAndTheirNormals) {
  const SurfaceFile file = read_text("v 1 2 3\nv 4 5 6\nvn 0 0 2\nvn 0 1 0\n", "points.obj");
  const auto& points = std::get<PointCloud>(file.surface);
  ASSERT_EQ(points.size(), 2u);
  EXPECT_EQ(points.point_mm(1), Eigen::Vector3d(4, 5, 6));
  EXPECT_EQ(points.normals.at(0), Eigen::Vector3f(0, 0, 1));
}

void expect_refused(const std::string& lines, const std::string& place, const std::string& what) {
  EXPECT_THAT([&] { read_text(std::string(tile) + lines, "tile.obj"); },
              ThrowsMessage<InputError>(testing::AllOf(HasSubstr(place), HasSubstr(what))));
}

TEST(ObjFile, AnIndexOutOfRangeIsRefusedWithItsLine) {
  expect_refused("f 1 2 5\n", "line 11", "asks for vertex 5 but 4 stand above it");
  expect_refused("f 1 2 0\n", "line 11", "asks for vertex 0");
  expect_refused("f 1 2 -5\n", "line 11", "asks for vertex -5");
  expect_refused("f 1 2 99999999999999999999\n", "line 11", "is not a vertex of a face");
}

TEST(ObjFile, LinesThatAreNoObjAreRefused) {
  expect_refused("f 1 2\n", "line 11", "fewer than three corners");
  expect_refused("f 1 2 3x\n", "line 11", "'3x' is not a vertex of a face");
  expect_refused("v 1 2\n", "line 11", "three numbers are due");
  expect_refused("v 1 2 nan\n", "line 11", "not a finite number");
  expect_refused("v 1 2 1e8\n", "line 11", "larger than 10,000,000");
  expect_refused("gravel and sand\n", "line 11", "begins with 'gravel'");
  EXPECT_THROW(read_text("# nothing\n", "tile.obj"), InputError);
  EXPECT_THROW(read_text("v 0 0 0\nv 1 0 0\nf 1 2 2\n", "tile.obj"), InputError);
}

RC_GTEST_PROP(ObjFile, ATruncatedObjIsRefusedOrItsVerticesAreAPrefix, ()) {
  const std::string whole = std::string(tile).substr(0, tile.find("vt")) + "v 8 3 0\nv 8 0 0\n";
  const auto all = std::get<PointCloud>(read_text(whole, "tile.obj").surface);
  const auto length = *rc::gen::inRange<std::size_t>(0, whole.size());
  try {
    const auto part =
        std::get<PointCloud>(read_text(std::string_view(whole).substr(0, length), "tile.obj").surface);
    RC_ASSERT(part.size() <= all.size());
    // The last number itself may be cut: a text cannot tell.
    for (std::size_t i = 0; i + 1 < part.size(); ++i) RC_ASSERT(part.point_mm(i) == all.point_mm(i));
  } catch (const InputError& refused) {
    RC_ASSERT(!refused.fault().empty());
  }
}

RC_GTEST_PROP(ObjFile, FlippedBytesAreReadOrRefusedButNeverCrash, ()) {
  std::string text = std::string(tile) + "f 1/1/1 2//1 3 4\nf -1 -2 -3\n";
  for (int i = *rc::gen::inRange(1, 6); i > 0; --i)
    text[*rc::gen::inRange<std::size_t>(0, text.size())] = *rc::gen::arbitrary<char>();
  try {
    const SurfaceFile file = read_text(text, "tile.obj");
    if (const auto* mesh = std::get_if<TriangleMesh>(&file.surface))
      for (const Triangle& t : mesh->triangles)
        for (const std::uint32_t v : t) RC_ASSERT(v < mesh->vertices.size());
  } catch (const InputError& refused) {
    RC_ASSERT(!refused.mend().empty());
  }
}

}  // namespace
}  // namespace boxfettle
