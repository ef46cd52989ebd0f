// The weights on the invented shop's record, charted as the page charts them.
#include "demo/core_weights.hpp"

#include <gmock/gmock.h>
#include <unistd.h>

#include <filesystem>

#include "service/measured_chart.hpp"
#include "store/store.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

class WeightsOnRecord : public testing::Test {
 protected:
  WeightsOnRecord() {
    for (const demo::MeasuredSeries& series : demo::measured_series())
      store_.measurements.add(demo::measurements_of(series, UtcTime::parse("2026-11-25T10:30:00Z")));
  }
  ~WeightsOnRecord() override { fs::remove_all(dir_); }
  nlohmann::ordered_json chart(const std::string& box) {
    return measured_chart_json(store_.measurements, box, store_.measurements.of_box(box).at(0), {});
  }

  const fs::path dir_ = fs::temp_directory_path() / ("boxfettle_weights_" + std::to_string(::getpid()));
  Store store_{dir_};
};

TEST_F(WeightsOnRecord, TheVoluteCoresGotHeavierAndTheChartSaysBetweenWhich) {
  const demo::MeasuredSeries volute = demo::measured_series()[0];
  const auto told = chart("TM-0412");
  ASSERT_EQ(told["changes"].size(), 1u);
  const auto& change = told["changes"][0];
  EXPECT_LE(std::stoll(change["low_label"].get<std::string>()), *volute.moved_at);
  EXPECT_GE(std::stoll(change["high_label"].get<std::string>()), *volute.moved_at);
  EXPECT_NEAR(change["shift_sigmas"].get<double>(), volute.moved_by / volute.scatter, 1.0);
}

TEST_F(WeightsOnRecord, TheJacketAndThePrintStayQuietAndTheValveBodyGetsLighter) {
  EXPECT_TRUE(chart("TM-0427")["signals"].empty());
  EXPECT_TRUE(chart("TM-0391")["signals"].empty());
  const auto drifted = chart("TM-0455");
  ASSERT_FALSE(drifted["signals"].empty());
  EXPECT_LT(drifted["points"].back()["value"], drifted["limits"]["centre"]);
}

}  // namespace
}  // namespace boxfettle
