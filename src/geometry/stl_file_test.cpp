#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>
#include <tbb/task_arena.h>

#include <cmath>
#include <limits>

#include "geometry/surface_file_test_shapes.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;
using testing::ThrowsMessage;

const TriangleMesh& mesh_of(const SurfaceFile& file) {
  return std::get<TriangleMesh>(file.surface);
}

void expect_block(const SurfaceFile& file) {
  const TriangleMesh& mesh = mesh_of(file);
  EXPECT_EQ(mesh.vertices.size(), 8u);
  EXPECT_EQ(mesh.triangles.size(), 12u);
  EXPECT_DOUBLE_EQ(enclosed_volume_mm3(mesh), 40.0 * 30.0 * 20.0);
  EXPECT_DOUBLE_EQ(area_mm2(mesh), 2 * (40.0 * 30.0 + 30.0 * 20.0 + 20.0 * 40.0));
}

TEST(StlFile, ABlockComesBackWithItsVolumeAndSharedCorners) {
  const SurfaceFile binary = read_text(binary_stl(block()), "block.stl");
  EXPECT_EQ(binary.kind, "binary STL");
  expect_block(binary);
  const SurfaceFile ascii = read_text(ascii_stl(block()), "block.stl");
  EXPECT_EQ(ascii.kind, "ASCII STL");
  expect_block(ascii);
}

TEST(StlFile, ABinaryFileWhoseHeaderSaysSolidIsStillReadAsBinary) {
  const SurfaceFile file = read_text(binary_stl(block(), "solid facet normal", 12), "block.stl");
  EXPECT_EQ(file.kind, "binary STL");
  expect_block(file);
}

TEST(StlFile, TheBytesDecideEvenWhenTheNameSaysOtherwise) {
  EXPECT_EQ(read_text(binary_stl(block()), "block.ply").kind, "binary STL");
  EXPECT_EQ(read_text(ascii_stl(block()), "block.xyz").kind, "ASCII STL");
}

TEST(StlFile, CapitalsByteOrderMarkCarriageReturnsAndSeveralSolidsAreRead) {
  std::string text = ascii_stl(block());
  text += text;
  std::string other = "\xEF\xBB\xBF";
  for (const char c : text) {
    if (c == '\n') other += '\r';
    other += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  }
  const SurfaceFile file = read_text(other, "block.stl");
  expect_block(file);
  EXPECT_EQ(file.flaws.duplicate, 12u);
}

// A sheet of hills, its triangles in rows; large enough to be welded in several stretches at once.
TriangleMesh hilly_sheet(std::uint32_t side) {
  TriangleMesh mesh;
  for (std::uint32_t y = 0; y <= side; ++y)
    for (std::uint32_t x = 0; x <= side; ++x)
      mesh.vertices.emplace_back(x, y, static_cast<double>((x * 7 + y * 13) % 11));
  const auto at = [&](std::uint32_t x, std::uint32_t y) { return y * (side + 1) + x; };
  for (std::uint32_t y = 0; y < side; ++y)
    for (std::uint32_t x = 0; x < side; ++x) {
      mesh.triangles.push_back({at(x, y), at(x + 1, y), at(x + 1, y + 1)});
      mesh.triangles.push_back({at(x, y), at(x + 1, y + 1), at(x, y + 1)});
    }
  return mesh;
}

TEST(StlFile, CornersAreNumberedAsTheFileFirstTellsThemHoweverManyThreadsWeld) {
  const std::string bytes = binary_stl(hilly_sheet(400));
  const auto read_with = [&](int threads) {
    tbb::task_arena arena(threads);
    return arena.execute([&] { return read_text(bytes, "sheet.stl"); });
  };
  const SurfaceFile alone = read_with(1);
  EXPECT_EQ(mesh_of(alone).vertices.size(), 401u * 401u);
  std::uint32_t next = 0;
  for (const Triangle& t : mesh_of(alone).triangles)
    for (const std::uint32_t corner : t) {
      ASSERT_LE(corner, next);
      next += corner == next;
    }
  for (const int threads : {2, 3, 8}) {
    const SurfaceFile together = read_with(threads);
    EXPECT_EQ(mesh_of(together).triangles, mesh_of(alone).triangles);
    EXPECT_EQ(mesh_of(together).vertices, mesh_of(alone).vertices);
  }
}

TEST(StlFile, OfSeveralBadTrianglesTheFirstIsNamedHoweverManyThreadsLook) {
  TriangleMesh sheet = hilly_sheet(400);
  sheet.vertices[400 * 401].z() = sheet.vertices[5 * 401].z() = std::numeric_limits<double>::quiet_NaN();
  const std::string bytes = binary_stl(sheet);
  for (const int threads : {1, 2, 8}) {
    tbb::task_arena arena(threads);
    // The fifth row's first corner is told first by the last triangle of the row before: number 2 * 4 * 400
    // + 2.
    EXPECT_THAT([&] { arena.execute([&] { read_text(bytes, "sheet.stl"); }); },
                ThrowsMessage<InputError>(HasSubstr("triangle 3202 at byte")));
  }
}

TEST(StlFile, RepeatsAreFoundAmongThousandsThatShareACorner) {
  TriangleMesh fan;
  fan.vertices.emplace_back(0, 0, 0);
  constexpr std::uint32_t blades = 20000;
  for (std::uint32_t i = 0; i <= blades; ++i)
    fan.vertices.emplace_back(std::cos(i * 1e-4), std::sin(i * 1e-4), i);
  for (std::uint32_t i = 1; i <= blades; ++i) fan.triangles.push_back({0, i, i + 1});
  for (std::uint32_t i = 1; i <= blades; i += 2) fan.triangles.push_back({i + 1, 0, i});  // the same, turned
  for (std::uint32_t i = 1; i <= 10; ++i)
    fan.triangles.push_back({0, i + 1, i});  // other way round: no repeat
  const SurfaceFile file = read_text(binary_stl(fan), "fan.stl");
  EXPECT_EQ(file.flaws.duplicate, blades / 2);
  EXPECT_EQ(mesh_of(file).triangles.size(), blades + 10);
}

TEST(StlFile, MinusZeroAndZeroAreOneCorner) {
  TriangleMesh mesh = block();
  std::string bytes = binary_stl(mesh);
  const float minus_zero = -0.0f;
  std::memcpy(bytes.data() + 84 + 12, &minus_zero, sizeof minus_zero);
  expect_block(read_text(bytes, "block.stl"));
}

TEST(StlFile, TrianglesWithoutAreaAndRepeatedOnesAreDroppedAndCounted) {
  TriangleMesh mesh = block();
  mesh.triangles.push_back({0, 1, 1});
  mesh.triangles.push_back({2, 1, 0});  // the first again, from its second corner
  mesh.triangles.push_back({0, 1, 2});  // the first the other way round: another side, not a repeat
  const SurfaceFile file = read_text(binary_stl(mesh), "block.stl");
  EXPECT_EQ(file.flaws.zero_area, 1u);
  EXPECT_EQ(file.flaws.duplicate, 1u);
  EXPECT_EQ(mesh_of(file).triangles.size(), 13u);
}

void expect_refused(std::string_view bytes, const std::string& place, const std::string& what) {
  EXPECT_THAT(
      [&] { read_text(bytes, "block.stl"); },
      ThrowsMessage<InputError>(testing::AllOf(HasSubstr("block.stl: "), HasSubstr(place), HasSubstr(what))));
}

TEST(StlFile, AFileCutShortIsRefusedWithBothCounts) {
  const std::string bytes = binary_stl(block());
  expect_refused(std::string_view(bytes).substr(0, bytes.size() - 1), "byte 80",
                 "counts 12 triangles but the file has room for 11");
  expect_refused(std::string_view(bytes).substr(0, 60), "byte 60", "ends within its header");
}

TEST(StlFile, ACountOfFourBillionIsRefusedBeforeAnythingIsAllocated) {
  expect_refused(binary_stl(block(), "", 4294967295u), "byte 80", "counts 4294967295 triangles");
}

TEST(StlFile, ACountBelowWhatTheFileHoldsIsRefusedForPartOfTheSurfaceWouldBeMissing) {
  expect_refused(binary_stl(block(), "", 11), "byte 80", "counts 11 triangles but the file holds 12");
}

TEST(StlFile, ACoordinateThatIsNoNumberIsRefusedWithItsTriangle) {
  for (const float bad : {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity()}) {
    std::string bytes = binary_stl(block());
    std::memcpy(bytes.data() + 84 + 50 * 3 + 12, &bad, sizeof bad);
    expect_refused(bytes, "triangle 4 at byte 234", "not a finite number");
  }
}

TEST(StlFile, ACoordinateTenKilometresAwayIsRefused) {
  TriangleMesh mesh = block();
  mesh.vertices[7].x() = 2e7;
  expect_refused(binary_stl(mesh), "triangle 4 at byte 234", "larger than 10,000,000");
  expect_refused(ascii_stl(mesh), "line 26", "larger than 10,000,000");
}

TEST(StlFile, AFileWithoutTrianglesOrWithSliversOnlyIsRefused) {
  expect_refused(binary_stl({}), "", "holds no triangle");
  expect_refused("solid nothing\nendsolid nothing\n", "", "holds no triangle");
  TriangleMesh sliver;
  sliver.vertices = {{0, 0, 0}, {1, 0, 0}, {2, 0, 0}};
  sliver.triangles = {{0, 1, 2}};
  expect_refused(binary_stl(sliver), "", "no triangle with any area");
}

TEST(StlFile, TextThatIsNoStlIsRefusedWithTheLineAndTheWord) {
  expect_refused("these are no triangles\n", "line 1", "does not begin with 'solid'");
  expect_refused("solid a\nfacet normal 0 0 1\nouter loop\nvertex 1 two 3\n", "line 4",
                 "found 'two' where 'a number' is due");
  expect_refused("solid a\nfacet normal 0 0 1\nvertex 1 2 3\n", "line 3",
                 "found 'vertex' where 'outer' is due");
  std::string garbage = ascii_stl(block());
  garbage.insert(garbage.find("endloop"), "gravel ");
  expect_refused(garbage, "line 7", "found 'gravel' where 'endloop' is due");
}

TEST(StlFile, BytesThatAreNothingKnownAreRefused) {
  EXPECT_THAT([] { read_text(std::string("\0\1\2\3 nothing", 12), "scan.xyz"); },
              ThrowsMessage<InputError>(HasSubstr("neither STL, PLY, OBJ nor text points")));
}

RC_GTEST_PROP(StlFile, AnyTruncationOfAnStlIsRefused, ()) {
  const bool binary = *rc::gen::arbitrary<bool>();
  const std::string whole = binary ? binary_stl(block()) : ascii_stl(block());
  // Only the solid's name stands behind "endsolid".
  const std::size_t needed = binary ? whole.size() : whole.rfind("endsolid") + 8;
  const auto length = *rc::gen::inRange<std::size_t>(0, needed);
  RC_ASSERT_THROWS_AS(read_text(std::string_view(whole).substr(0, length), "block.stl"), InputError);
}

RC_GTEST_PROP(StlFile, FlippedBytesAreReadOrRefusedButNeverCrash, ()) {
  std::string bytes = *rc::gen::arbitrary<bool>() ? binary_stl(block()) : ascii_stl(block());
  for (int i = *rc::gen::inRange(1, 6); i > 0; --i)
    bytes[*rc::gen::inRange<std::size_t>(0, bytes.size())] = *rc::gen::arbitrary<char>();
  try {
    const SurfaceFile file = read_text(bytes, "block.stl");
    for (const Triangle& t : mesh_of(file).triangles)
      for (const std::uint32_t v : t) RC_ASSERT(v < mesh_of(file).vertices.size());
  } catch (const InputError& refused) {
    RC_ASSERT(!refused.fault().empty());
    RC_ASSERT(!refused.mend().empty());
  }
}

RC_GTEST_PROP(StlFile, WeldingNeitherMovesACornerNorMergesTwo, ()) {
  // Corners from a small set of places, so that most are shared.
  const auto numbers = *rc::gen::container<std::vector<int>>(90, rc::gen::inRange(-3, 4));
  TriangleMesh soup;
  for (std::size_t i = 0; i + 2 < numbers.size(); i += 3)
    soup.vertices.emplace_back(0.25 * numbers[i], numbers[i + 1], numbers[i + 2]);
  for (std::uint32_t v = 0; v + 2 < soup.vertices.size(); v += 3) soup.triangles.push_back({v, v + 1, v + 2});
  try {
    const SurfaceFile file = read_text(binary_stl(soup), "soup.stl");
    const TriangleMesh& mesh = mesh_of(file);
    RC_ASSERT(mesh.triangles.size() + file.flaws.zero_area + file.flaws.duplicate == soup.triangles.size());
    for (std::size_t a = 0; a < mesh.vertices.size(); ++a)
      for (std::size_t b = 0; b < a; ++b) RC_ASSERT(mesh.vertices[a] != mesh.vertices[b]);
    if (file.flaws.zero_area + file.flaws.duplicate == 0)
      for (std::size_t t = 0; t < soup.triangles.size(); ++t)
        for (int c = 0; c < 3; ++c) RC_ASSERT(mesh.corner(t, c) == soup.corner(t, c));
  } catch (const InputError& all_slivers) {
    RC_ASSERT(all_slivers.fault() == "holds no triangle with any area");
  }
}

}  // namespace
}  // namespace boxfettle
