// STEP files from the file to closed triangles, through the program that reads them.
#include "geometry/step_file.hpp"

#include <gmock/gmock.h>
#include <unistd.h>

#include <cmath>
#include <fstream>
#include <functional>
#include <numbers>
#include <set>
#include <string>

#include "cad/invented_step_parts.hpp"
#include "geometry/mesh_topology.hpp"
#include "geometry/surface_file.hpp"
#include "input/input_error.hpp"
#include "input/whole_file.hpp"

namespace boxfettle::cad {
namespace {

namespace fs = std::filesystem;
using std::numbers::pi;
using testing::AllOf;
using testing::HasSubstr;

class StepDesign : public testing::Test {
 protected:
  void SetUp() override { fs::create_directories(folder_); }
  void TearDown() override { fs::remove_all(folder_); }

  fs::path file(const std::string& name) const { return folder_ / name; }
  fs::path written(const TopoDS_Shape& shape, const StepWriting& writing = {}) const {
    write_step(shape, file("part.step"), writing);
    return file("part.step");
  }
  fs::path text_file(const std::string& text) const {
    std::ofstream(file("part.step"), std::ios::binary) << text;
    return file("part.step");
  }

  static StepReading reading(double deflection_mm = 0.015) {
    StepReading reading;
    reading.mesher = fs::path(BOXFETTLE_PROGRAM).parent_path() / "boxfettle-step-mesh";
    reading.deflection_mm = deflection_mm;
    return reading;
  }

  static void expect_closed(const TriangleMesh& mesh) {
    const MeshTopology topology = mesh_topology(mesh);
    EXPECT_EQ(topology.open_edges, 0u);
    EXPECT_EQ(topology.contradicting_edges, 0u);
    EXPECT_EQ(topology.crowded_edges, 0u);
  }

  // The whole message, which is one line; every part of it is there.
  static std::string refusal(const fs::path& path, const StepReading& how = reading()) {
    try {
      read_step_file(path, how);
    } catch (const InputError& error) {
      EXPECT_EQ(error.file(), path.string());
      EXPECT_FALSE(error.fault().empty());
      EXPECT_FALSE(error.mend().empty());
      return error.what();
    }
    ADD_FAILURE() << "not refused";
    return {};
  }

  fs::path folder_ = fs::temp_directory_path() / ("boxfettle_step_" + std::to_string(::getpid()));
};

TEST_F(StepDesign, AFlatSidedBlockComesBackExactly) {
  const StepMesh step = read_step_file(written(block(20, 30, 40)), reading());
  EXPECT_EQ(step.mesh.triangles.size(), 12u);
  EXPECT_EQ(step.mesh.vertices.size(), 8u);
  EXPECT_NEAR(enclosed_volume_mm3(step.mesh), 20 * 30 * 40, 1e-6);
  EXPECT_NEAR(area_mm2(step.mesh), 2 * (20 * 30 + 30 * 40 + 20 * 40), 1e-6);
  expect_closed(step.mesh);
}

// A round body whose corners lie on its surface, and what is known of it in closed form.
struct Round {
  std::string name;
  TopoDS_Shape body;
  double volume_mm3, area_mm2;
  std::function<double(const Eigen::Vector3d&)> off_surface_mm;  // signed, outside positive, near the surface
};

std::vector<Round> round_bodies() {
  const double slant = std::hypot(20.0, 30.0);
  return {
      {"cylinder", cylinder(20, 60), pi * 400 * 60, 2 * pi * 20 * (20 + 60),
       [](const Eigen::Vector3d& p) {
         return std::max({p.head<2>().norm() - 20, -p.z(), p.z() - 60});
       }},
      {"ball", ball(20), 4.0 / 3 * pi * 8000, 4 * pi * 400,
       [](const Eigen::Vector3d& p) { return p.norm() - 20; }},
      {"cone", cone(20, 30), pi * 400 * 30 / 3, pi * 20 * (20 + slant),
       [slant](const Eigen::Vector3d& p) {
         return std::max(((p.head<2>().norm() - 20) * 30 + p.z() * 20) / slant, -p.z());
       }},
      {"ring", ring(20, 6), 2 * pi * pi * 20 * 36, 4 * pi * pi * 20 * 6,
       [](const Eigen::Vector3d& p) { return std::hypot(p.head<2>().norm() - 20, p.z()) - 6; }},
  };
}

TEST_F(StepDesign, NoPointOfARoundBodysTrianglesStraysFurtherThanAsked) {
  for (const Round& round : round_bodies()) {
    for (const double deflection_mm : {0.4, 0.2, 0.05, 0.015, 0.007}) {
      SCOPED_TRACE(round.name + " at " + std::to_string(deflection_mm));
      const StepMesh step = read_step_file(written(round.body), reading(deflection_mm));
      EXPECT_FALSE(step.coarsened);
      expect_closed(step.mesh);
      double farthest_mm = 0;
      for (std::size_t t = 0; t < step.mesh.triangles.size(); ++t) {
        const Eigen::Vector3d &a = step.mesh.corner(t, 0), &b = step.mesh.corner(t, 1),
                              &c = step.mesh.corner(t, 2);
        for (const Eigen::Vector3d& at : {a, Eigen::Vector3d((a + b) / 2), Eigen::Vector3d((a + b + c) / 3)})
          farthest_mm = std::max(farthest_mm, std::abs(round.off_surface_mm(at)));
      }
      EXPECT_LE(farthest_mm, deflection_mm);
    }
  }
}

TEST_F(StepDesign, VolumeAndAreaOfRoundBodiesConvergeToTheirClosedForms) {
  for (const Round& round : round_bodies()) {
    SCOPED_TRACE(round.name);
    double last_volume_mm3 = 1e300, last_area_mm2 = 1e300;
    for (const double deflection_mm : {0.06, 0.02, 0.006}) {
      const TriangleMesh mesh = read_step_file(written(round.body), reading(deflection_mm)).mesh;
      const double volume_off_mm3 = std::abs(enclosed_volume_mm3(mesh) - round.volume_mm3);
      const double area_off_mm2 = std::abs(area_mm2(mesh) - round.area_mm2);
      // No more than the whole surface lying off by the deflection.
      EXPECT_LT(volume_off_mm3, round.area_mm2 * deflection_mm);
      EXPECT_LT(volume_off_mm3, last_volume_mm3 / 1.5);
      EXPECT_LT(area_off_mm2, last_area_mm2 / 1.5);
      last_volume_mm3 = volume_off_mm3;
      last_area_mm2 = area_off_mm2;
    }
  }
}

TEST_F(StepDesign, ABoreIsCutOutOfItsBlockAndTheBodyStaysClosed) {
  const TopoDS_Shape bored = cut(block(40, 40, 40), moved(cylinder(10, 100), 20, 20, -10));
  const StepMesh step = read_step_file(written(bored), reading());
  expect_closed(step.mesh);
  const double bore_mm2 = 2 * pi * 10 * 40;
  EXPECT_NEAR(enclosed_volume_mm3(step.mesh), 64000 - pi * 100 * 40, bore_mm2 * 0.015);
}

TEST_F(StepDesign, AHollowBodyKeepsItsHollow) {
  const TopoDS_Shape hollow = cut(block(40, 40, 40), moved(block(20, 20, 20), 10, 10, 10));
  const StepMesh step = read_step_file(written(hollow), reading());
  expect_closed(step.mesh);
  EXPECT_NEAR(enclosed_volume_mm3(step.mesh), 64000 - 8000, 1e-6);
}

TEST_F(StepDesign, TheUnitIsTheFilesOwnAndTheResultIsInMillimetres) {
  for (const std::string unit : {"MM", "CM", "M", "INCH"}) {
    SCOPED_TRACE(unit);
    const StepMesh step = read_step_file(written(block(20, 30, 40), {.unit = unit}), reading());
    EXPECT_NEAR(enclosed_volume_mm3(step.mesh), 24000, 1e-4);
    EXPECT_FALSE(step.unit.empty());
  }
  const SurfaceFile inch = read_surface_file(written(block(20, 30, 40), {.unit = "INCH"}), reading());
  EXPECT_EQ(inch.unit, LengthUnit::mm);
  EXPECT_THAT(inch.notes.at(0), AllOf(HasSubstr("within 0.015 mm (12 triangles)"), HasSubstr("(INCH)")));
}

TEST_F(StepDesign, ABodyLiesWhereItsAssemblyPutsIt) {
  const TopoDS_Shape pin = cylinder(3, 20);
  const TopoDS_Shape plate = together({moved(pin, 10, 0, 0), moved(pin, 100, 50, 5)});
  StepReading how = reading();
  how.body = 2;
  const StepMesh step =
      read_step_file(written(together({moved(plate, 0, 0, 1000)}), {.assembly = true}), how);
  EXPECT_EQ(step.bodies, 2u);
  expect_closed(step.mesh);
  const Bounds bounds = boxfettle::bounds(step.mesh);
  EXPECT_NEAR(bounds.low.z(), 1005, 1e-9);
  EXPECT_NEAR(bounds.high.z(), 1025, 1e-9);
  EXPECT_NEAR(bounds.centre().x(), 100, 0.015);
  EXPECT_NEAR(bounds.centre().y(), 50, 0.015);
}

TEST_F(StepDesign, SeveralBodiesAreListedAndOneMustBeChosen) {
  const fs::path two = written(together({block(10, 20, 30), moved(cylinder(5, 12), 50, 0, 0)}));
  StepReading how = reading();
  how.choose_body = "say which";
  EXPECT_THAT(refusal(two, how), AllOf(HasSubstr("holds 2 bodies: 1 "), HasSubstr("(10 x 20 x 30 mm), 2 "),
                                       HasSubstr("(10 x 10 x 12 mm); say which")));
  how.body = 1;
  EXPECT_NEAR(enclosed_volume_mm3(read_step_file(two, how).mesh), 6000, 1e-6);
  how.body = 2;
  EXPECT_NEAR(enclosed_volume_mm3(read_step_file(two, how).mesh), pi * 25 * 12, 2 * pi * 5 * 12 * 0.015);
  how.body = 3;
  EXPECT_THAT(refusal(two, how), HasSubstr("has no body 3, only 2"));
}

TEST_F(StepDesign, BodiesAreCalledByTheNamesThatTheFileGivesThem) {
  const fs::path two = written(together({block(10, 20, 30), moved(block(5, 5, 5), 50, 0, 0)}));
  std::string text(WholeFile(two).text());
  for (const std::string name : {"Volute core", "Print"}) {
    const std::string start = "MANIFOLD_SOLID_BREP('";
    const std::size_t at = text.find(start + "'");
    ASSERT_NE(at, std::string::npos);
    text.insert(at + start.size(), name);
  }
  EXPECT_THAT(refusal(text_file(text)),
              AllOf(HasSubstr("1 'Volute core' (10 x 20 x 30 mm)"), HasSubstr("2 'Print' (5 x 5 x 5 mm)")));
}

TEST_F(StepDesign, ClosedSurfacesWithoutASolidAreSewnToABody) {
  for (const TopoDS_Shape& faces :
       {TopoDS_Shape(loose_faces(block(10, 20, 30))),
        TopoDS_Shape(loose_faces(cut(block(10, 20, 30), moved(cylinder(3, 90), 5, 9, -9))))}) {
    const StepMesh step = read_step_file(written(faces), reading());
    expect_closed(step.mesh);
    EXPECT_GT(enclosed_volume_mm3(step.mesh), 5000);
  }
}

TEST_F(StepDesign, SurfacesThatDoNotCloseAreRefusedWithTheirOpenEdges) {
  EXPECT_THAT(refusal(written(loose_faces(block(10, 20, 30), 1))),
              HasSubstr("surfaces that do not close (surfaces: 5, open edges: 4)"));
}

TEST_F(StepDesign, SurfacesBesideABodyAreLeftOutAndTold) {
  const TopoDS_Shape both = together({block(10, 20, 30), moved(loose_faces(block(1, 1, 1), 4), 50, 0, 0)});
  const SurfaceFile file = read_surface_file(written(both), reading());
  EXPECT_THAT(file.notes, testing::Contains(HasSubstr("2 surfaces that belong to no body were left out")));
}

TEST_F(StepDesign, APartThatWouldNeedTooManyTrianglesIsMeshedCoarserAndSaysSo) {
  StepReading how = reading(0.001);
  how.most_triangles = 20000;
  const fs::path path = written(ball(50));
  const StepMesh step = read_step_file(path, how);
  expect_closed(step.mesh);
  EXPECT_TRUE(step.coarsened);
  EXPECT_LE(step.mesh.triangles.size(), 20000u);
  EXPECT_GT(step.mesh.triangles.size(), 5000u) << "no coarser than needed";
  EXPECT_GT(step.deflection_mm, 0.001);
  EXPECT_THAT(read_surface_file(path, how).notes, testing::Contains(HasSubstr("coarser than the 0.001 mm")));
}

TEST_F(StepDesign, AFileWithoutAShapeIsRefused) {
  std::string text(WholeFile(written(block(1, 1, 1))).text());
  const std::size_t data = text.find("DATA;") + 5, end = text.find("ENDSEC;", data);
  EXPECT_THAT(refusal(text_file(text.substr(0, data) + "\n" + text.substr(end))),
              HasSubstr("holds no shape"));
}

TEST_F(StepDesign, AFileCutShortIsRefusedWithTheLineWhereItStops) {
  const std::string text(WholeFile(written(block(1, 1, 1))).text());
  EXPECT_THAT(refusal(text_file(text.substr(0, text.size() / 2))),
              AllOf(HasSubstr(": line "), HasSubstr("cut short")));
  EXPECT_THAT(refusal(text_file("ISO-10303-21;\n")), HasSubstr("no DATA section"));
}

TEST_F(StepDesign, TextPosingAsStepAndGarbageInsideItAreRefused) {
  EXPECT_THAT(refusal(text_file("ISO-10303-21;\nDATA;\nsand and resin\nEND-ISO-10303-21;\n")),
              HasSubstr("DATA"));
  EXPECT_THAT(refusal(text_file(std::string("ISO-10303-21;\nDATA;\n\0\0", 22) + "END-ISO-10303-21;\n")),
              HasSubstr("byte 20: "));
  EXPECT_THAT(refusal(text_file("solid block\n")), HasSubstr("does not begin with ISO-10303-21"));
  EXPECT_THAT(refusal(text_file("")), HasSubstr("empty"));
}

TEST_F(StepDesign, WithoutTheProgramThatReadsStepTheRefusalSaysWhichOne) {
  StepReading how = reading();
  how.mesher = folder_ / "boxfettle-step-mesh";
  EXPECT_THAT(
      refusal(written(block(1, 1, 1)), how),
      AllOf(HasSubstr(how.mesher.string()), HasSubstr("No such file"), HasSubstr("beside boxfettle")));
}

TEST_F(StepDesign, AReaderThatBreaksDownOrTalksNonsenseIsARefusal) {
  const fs::path part = written(block(1, 1, 1));
  for (const std::string script :
       {"kill -SEGV $$", "exit 5", "exit 0", "echo nonsense", "printf 'BFSTEP1\\n'"}) {
    SCOPED_TRACE(script);
    StepReading how = reading();
    how.mesher = file("broken");
    std::ofstream(how.mesher) << "#!/bin/sh\n" << script << "\n";
    fs::permissions(how.mesher, fs::perms::owner_all);
    EXPECT_THAT(refusal(part, how), HasSubstr("broke down"));
  }
}

TEST_F(StepDesign, AFileThatTheLibraryNeverEndsOverIsGivenUp) {
  StepReading how = reading();
  how.processor_s = 1;
  const fs::path kept = fs::path(BOXFETTLE_SOURCE_DIR) / "fuzz/corpus/step/number_too_large_to_end.step";
  EXPECT_THAT(refusal(kept, how), HasSubstr("could not be read and meshed within 1 s"));
}

TEST_F(StepDesign, AFileThatTheLibraryCrashesOverIsRefused) {
  const fs::path kept = fs::path(BOXFETTLE_SOURCE_DIR) / "fuzz/corpus/step/keyword_that_is_none.step";
  EXPECT_THAT(refusal(kept), HasSubstr("broke down"));
}

struct GaveUp {};

TEST_F(StepDesign, WhoeverWaitsMayGiveUpAndTheReaderIsGone) {
  StepReading how = reading();
  how.mesher = file("sleeper");
  std::ofstream(how.mesher) << "#!/bin/sh\necho $$ > '" << file("id").string() << "'\nexec sleep 600\n";
  fs::permissions(how.mesher, fs::perms::owner_all);
  how.while_waiting = [&] {
    if (fs::exists(file("id")) && fs::file_size(file("id")) > 0) throw GaveUp{};
  };
  EXPECT_THROW(read_step_file(written(block(1, 1, 1)), how), GaveUp);
  int id = 0;
  std::ifstream(file("id")) >> id;
  ASSERT_GT(id, 1);
  EXPECT_FALSE(fs::exists("/proc/" + std::to_string(id)));
}

}  // namespace
}  // namespace boxfettle::cad
