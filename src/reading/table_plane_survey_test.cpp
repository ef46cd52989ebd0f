#include <gmock/gmock.h>

#include <string>

#include "demo/invented_cores.hpp"
#include "demo/synthetic_scan.hpp"
#include "reading/scan_reading.hpp"

namespace boxfettle {
namespace {

using testing::HasSubstr;

TEST(TablePlane, TheTableAPartStandsOnIsNoFinding) {
  for (const demo::Core which : demo::every_core)
    for (const std::uint64_t seed : {101u, 102u, 103u}) {
      const demo::InventedCore& core = demo::coarse(which);
      SCOPED_TRACE(core.box.id + " " + std::to_string(seed));
      demo::Scanner on_table;
      on_table.points = 150000;
      on_table.seed = seed;
      on_table.table = true;
      on_table.unseen_fraction = 0.2;
      const demo::SyntheticScan scan = demo::scan_core(core.design, core.box.parting, {}, on_table);
      const ScanReading reading = read_scan(core.design, scan.points, &core.box);
      for (const Finding& f : reading.findings) EXPECT_EQ(f.kind, FindingKind::unseen) << f.text;
      EXPECT_THAT(reading.notes, testing::Contains(HasSubstr("stood on")));
      // 15 % of table is added to the 80 % of the part that was seen.
      EXPECT_NEAR(reading.deviation.outlier_fraction, 0.15 / 0.95, 0.04);
    }
}

}  // namespace
}  // namespace boxfettle
