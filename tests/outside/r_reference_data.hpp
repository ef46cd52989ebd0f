// The data that R and we are both asked about, and the tables R reads them from.
#pragma once

#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "reading/printed.hpp"
#include "statistics/gauge_study.hpp"
#include "statistics/random_numbers.hpp"
#include "statistics/wear.hpp"
#include "statistics/weibull_life.hpp"

namespace boxfettle {

struct BinomialCase {
  std::size_t checked, bad;
  double confidence;
};

inline std::vector<BinomialCase> binomial_cases() {
  std::vector<BinomialCase> cases;
  for (const std::size_t checked : {1u, 5u, 20u, 137u, 5000u})
    for (const std::size_t bad : {std::size_t{0}, std::size_t{1}, checked / 7, checked / 2, checked})
      cases.push_back({checked, bad, checked % 2 == 0 ? 0.95 : 0.9});
  return cases;
}

inline std::vector<LifeRecord> right_censored_lives() {
  RandomNumbers random(41);
  std::vector<LifeRecord> records;
  for (int i = 0; i < 24; ++i) {
    const double life = 30000 * std::pow(-std::log(random.uniform()), 1 / 1.8), until = 20000 + 1000.0 * i;
    records.push_back(life < until ? LifeRecord{life, life} : LifeRecord{until, std::nullopt});
  }
  return records;
}

// Looked at every 6,000 shots.
inline std::vector<LifeRecord> interval_censored_lives() {
  RandomNumbers random(42);
  std::vector<LifeRecord> records;
  for (int i = 0; i < 40; ++i) {
    const double life = 20000 * std::pow(-std::log(random.uniform()), 1 / 2.5),
                 low = 6000 * std::floor(life / 6000);
    records.push_back(low < 30000 ? LifeRecord{low, low + 6000} : LifeRecord{30000, std::nullopt});
  }
  return records;
}

inline std::vector<WearReading> wear_readings() {
  RandomNumbers random(43);
  std::vector<WearReading> readings;
  for (int i = 1; i <= 12; ++i) {
    const double u95 = 0.01 + 0.002 * (i % 4);
    readings.push_back({"P1", 2500.0 * i, 0.02 + 0.0065 * 2.5 * i + 0.5 * u95 * random.normal(), u95});
  }
  return readings;
}

inline std::vector<GaugeReading> gauge_readings() {
  RandomNumbers random(44);
  std::vector<GaugeReading> readings;
  for (int part = 0; part < 7; ++part)
    for (const char* person : {"A", "B", "C", "D"})
      for (int i = 0; i < 2; ++i)
        readings.push_back({std::to_string(part), person,
                            50 + 0.3 * part * (person[0] == 'C' ? 1.1 : 1) + 0.1 * random.normal()});
  return readings;
}

inline std::vector<double> leaning_weights() {
  RandomNumbers random(45);
  std::vector<double> weights;
  for (int i = 0; i < 60; ++i) weights.push_back(1200 - 4 * std::log(random.uniform()) + random.normal());
  return weights;
}

// Defects on so many cores, and bad cores of 50 looked at in each shift.
inline std::vector<int> defects_counted() {
  RandomNumbers random(46);
  std::vector<int> counts;
  for (int i = 0; i < 25; ++i) counts.push_back(static_cast<int>(9 + 7 * random.uniform()));
  return counts;
}

inline std::vector<int> bad_of_fifty() {
  RandomNumbers random(47);
  std::vector<int> counts;
  for (int i = 0; i < 30; ++i) counts.push_back(static_cast<int>(4 + 9 * random.uniform()));
  return counts;
}

// Seventeen digits: R reads back the very doubles.
inline void write_r_tables(const std::filesystem::path& folder) {
  std::ofstream binomial(folder / "binomial.csv"), lives(folder / "lives.csv"),
      between(folder / "between.csv"), depths(folder / "depths.csv"), gauge(folder / "gauge.csv"),
      weights(folder / "weights.csv"), counts(folder / "counts.csv"), fractions(folder / "fractions.csv");
  binomial << "checked,bad,confidence\n";
  for (const BinomialCase& one : binomial_cases())
    binomial << one.checked << "," << one.bad << "," << one.confidence << "\n";
  lives << "time,failed,group\n";
  int i = 0;
  for (const LifeRecord& one : right_censored_lives())
    lives << printed("%.17g,%d,%s\n", one.low, one.failed() ? 1 : 0, i++ % 2 == 0 ? "N" : "S");
  between << "low,high\n";
  for (const LifeRecord& one : interval_censored_lives())
    between << printed("%.17g,%s\n", one.low, one.high ? printed("%.17g", *one.high).c_str() : "NA");
  depths << "shots,depth,u95\n";
  for (const WearReading& one : wear_readings())
    depths << printed("%.17g,%.17g,%.17g\n", one.shots, one.depth_mm, *one.u95_mm);
  gauge << "part,person,value\n";
  for (const GaugeReading& one : gauge_readings())
    gauge << printed("%s,%s,%.17g\n", one.part.c_str(), one.person.c_str(), one.value);
  weights << "value\n";
  for (const double one : leaning_weights()) weights << printed("%.17g\n", one);
  counts << "defects\n";
  for (const int one : defects_counted()) counts << one << "\n";
  fractions << "bad\n";
  for (const int one : bad_of_fifty()) fractions << one << "\n";
}

}  // namespace boxfettle
