#include "shop/measurement.hpp"

#include <gmock/gmock.h>

#include <limits>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

Measurement weighed() {
  return {.request = "weighed-1",
          .box = "TM-0412",
          .characteristic = "core weight",
          .unit = "g",
          .at = UtcTime::parse("2026-11-25T10:30:00Z"),
          .arrived = UtcTime::parse("2026-11-25T10:30:00Z"),
          .who = "Asha",
          .value = 412.3,
          .run = ""};
}

std::string refused_at(Measurement measurement) {
  try {
    check_measurement(measurement);
  } catch (const InputError& error) {
    EXPECT_NE(error.mend(), "");
    return error.place();
  }
  return "kept";
}

TEST(Measurement, AWeighedCoreIsKept) {
  EXPECT_EQ(refused_at(weighed()), "kept");
}

TEST(Measurement, WhatNoGaugeShowsIsRefusedByItsField) {
  for (const double value :
       {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity(), -1e13}) {
    Measurement one = weighed();
    one.value = value;
    EXPECT_EQ(refused_at(one), "value") << value;
  }
  const auto with = [](std::string Measurement::*field, const std::string& text) {
    Measurement one = weighed();
    one.*field = text;
    return one;
  };
  EXPECT_EQ(refused_at(with(&Measurement::unit, "ounces")), "unit");
  EXPECT_EQ(refused_at(with(&Measurement::unit, "")), "unit");
  EXPECT_EQ(refused_at(with(&Measurement::characteristic, "")), "of");
  EXPECT_EQ(refused_at(with(&Measurement::characteristic, " core weight")), "of");
  EXPECT_EQ(refused_at(with(&Measurement::characteristic, std::string(81, 'w'))), "of");
  EXPECT_EQ(refused_at(with(&Measurement::characteristic, "core\nweight")), "of");
  EXPECT_EQ(refused_at(with(&Measurement::characteristic, "\xff\xfe")), "of");
  EXPECT_EQ(refused_at(with(&Measurement::run, std::string(81, 'r'))), "run");
  EXPECT_EQ(refused_at(with(&Measurement::request, "short")), "request");
}

}  // namespace
}  // namespace boxfettle
