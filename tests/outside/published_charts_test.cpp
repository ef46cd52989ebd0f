// Charts, run lengths, sampling and gauge figures against published ones; each source beside its check.
#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "statistics/capability.hpp"
#include "statistics/control_chart.hpp"
#include "statistics/control_constants.hpp"
#include "statistics/first_pieces.hpp"
#include "statistics/gauge_study.hpp"

namespace boxfettle {
namespace {

std::vector<Subgroup> singles(const std::vector<double>& values) {
  std::vector<Subgroup> all;
  for (const double value : values) all.push_back({{value}, 0});
  return all;
}

// The rounded tables of control chart constants that text books print; n = 2..10 as seen in two independent
// places, n = 11..25 from memory. Printed tables are up to 0.0007 off the true constants (D4 of 3: 2.574 for
// 2.5746), half a unit of the last digit apart.
TEST(PublishedConstants, AreTheOnesComputed) {
  constexpr std::array d2{1.128, 1.693, 2.059, 2.326, 2.534, 2.704, 2.847, 2.970, 3.078, 3.173, 3.258, 3.336,
                          3.407, 3.472, 3.532, 3.588, 3.640, 3.689, 3.735, 3.778, 3.819, 3.858, 3.895, 3.931};
  constexpr std::array d3{.853, .888, .880, .864, .848, .833, .820, .808, .797, .787, .778, .770,
                          .763, .756, .750, .744, .739, .734, .729, .724, .720, .716, .712, .708};
  constexpr std::array c4{.7979, .8862, .9213, .9400, .9515, .9594, .9650, .9693, .9727, .9754, .9776, .9794,
                          .9810, .9823, .9835, .9845, .9854, .9862, .9869, .9876, .9882, .9887, .9892, .9896};
  constexpr std::array d4{3.267, 2.574, 2.282, 2.114, 2.004, 1.924, 1.864, 1.816, 1.777};
  constexpr std::array lower{0.0, 0.0, 0.0, 0.0, 0.0, .076, .136, .184, .223};
  for (int n = 2; n <= 25; ++n) {
    const auto i = static_cast<std::size_t>(n - 2);
    EXPECT_NEAR(range_constants(n).d2, d2[i], 0.0007) << n;
    EXPECT_NEAR(range_constants(n).d3, d3[i], 0.0007) << n;
    EXPECT_NEAR(deviation_constants(n).c4, c4[i], 0.00006) << n;
    if (i < d4.size()) {
      EXPECT_NEAR(range_constants(n).upper_factor(), d4[i], 0.0008) << n;
      EXPECT_NEAR(range_constants(n).lower_factor(), lower[i], 0.0008) << n;
    }
  }
}

// The same integrated by R 4.x elsewhere, to the digits kept: n, d2, d3, c4, B3, B4.
TEST(PublishedConstants, AgreeWithAnIndependentIntegration) {
  struct Row {
    int n;
    double d2, d3, c4, b3, b4;
  };
  for (const Row& row :
       {Row{2, 1.12838, .85250, .797885, 0, 3.2665}, Row{3, 1.69257, .88837, .886227, 0, 2.5682},
        Row{4, 2.05875, .87981, .921318, 0, 2.2660}, Row{5, 2.32593, .86408, .939986, 0, 2.0890},
        Row{6, 2.53441, .84804, .951533, .0304, 1.9696}, Row{7, 2.70436, .83321, .959369, .1177, 1.8823},
        Row{8, 2.84720, .81983, .965030, .1851, 1.8149}, Row{9, 2.97003, .80783, .969311, .2391, 1.7609},
        Row{10, 3.07751, .79705, .972659, .2837, 1.7163}}) {
    EXPECT_NEAR(range_constants(row.n).d2, row.d2, 6e-6);
    EXPECT_NEAR(range_constants(row.n).d3, row.d3, 6e-6);
    EXPECT_NEAR(deviation_constants(row.n).c4, row.c4, 6e-7);
    EXPECT_NEAR(deviation_constants(row.n).lower_factor(), row.b3, 6e-5);
    EXPECT_NEAR(deviation_constants(row.n).upper_factor(), row.b4, 6e-5);
  }
}

// NIST/SEMATECH e-Handbook 6.3.2.4: 20 values, lambda 0.3, start 50, s 2.0539.
TEST(EHandbook, EwmaOfTwentyValues) {
  ChartSettings settings;
  settings.kind = ChartKind::ewma;
  settings.lambda = 0.3;
  settings.target = 50;
  settings.sigma = 2.0539;
  const std::vector<double> values{52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5,
                                   49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
  const ControlChart chart = control_chart(singles(values), settings);
  constexpr std::array ewma{50.6000, 49.5200, 50.5640, 50.1848, 50.1594, 49.2116, 49.7481,
                            49.8537, 50.2576, 50.3303, 50.1112, 49.3578, 49.5205, 50.0543,
                            49.3780, 49.9246, 50.7272, 51.2291, 51.9403, 51.9882};
  for (std::size_t i = 0; i < ewma.size(); ++i) EXPECT_NEAR(*chart.points[i].value, ewma[i], 6e-5) << i;
  EXPECT_NEAR(chart.limits.upper, 52.5884, 1e-4);
  EXPECT_NEAR(chart.limits.lower, 47.4115, 1e-4);
  constexpr std::array widening{51.84851, 52.25639, 52.43141, 52.51272, 52.55161};
  for (std::size_t i = 0; i < widening.size(); ++i)
    EXPECT_NEAR(chart.points[i].limits.upper, widening[i], 1e-5);
  EXPECT_TRUE(chart.signals.empty());
}

// NIST/SEMATECH e-Handbook 6.3.2.3: target 325, k 0.3175, h 4.1959 in the values' unit (these three from
// memory); the means and group 14 as the first signal read where several public repositories quote them.
TEST(EHandbook, CusumOfTwentyMeans) {
  ChartSettings settings;
  settings.kind = ChartKind::cusum;
  settings.target = 325;
  settings.sigma = 0.635;
  settings.k = 0.3175 / 0.635;
  settings.h = 4.1959 / 0.635;
  const std::vector<double> means{324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125,
                                  324.525, 325.225, 324.600, 324.625, 325.150, 328.325, 327.250,
                                  327.825, 328.500, 326.675, 327.775, 326.875, 328.350};
  const ControlChart chart = control_chart(singles(means), settings);
  constexpr std::array high{3.0075, 4.9400, 7.4475, 10.6300, 11.9875, 14.4450, 16.0025, 19.0350};
  for (std::size_t i = 0; i < high.size(); ++i) EXPECT_NEAR(*chart.points[12 + i].high_sum, high[i], 1e-9);
  EXPECT_NEAR(*chart.points[7].low_sum, 0.7150, 1e-9);
  ASSERT_FALSE(chart.signals.empty());
  EXPECT_EQ(chart.signals.front().index, 13u) << "group 14";
  EXPECT_EQ(chart.changes.front().at.first, 12u);
}

// NIST/SEMATECH e-Handbook 6.3.2.2 (flow rates): centre 50.81, mean moving range 1.8778, limits 55.8041 and
// 45.8159, worked with d2 = 1.128.
TEST(EHandbook, SingleValuesAndMovingRange) {
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  const ControlChart chart =
      control_chart(singles({49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}), settings);
  EXPECT_NEAR(chart.limits.centre, 50.81, 1e-9);
  EXPECT_NEAR(chart.spread_limits->centre, 1.8778, 5e-5);
  // The rounded d2 of the handbook is 0.034 % small: 0.0017 of a reach of 4.994.
  EXPECT_NEAR(chart.limits.upper, 55.8041, 0.002);
  EXPECT_NEAR(chart.limits.lower, 45.8159, 0.002);
}

// A vendor's manual page on single measurements (30 diameters), its published limits recomputed.
TEST(PublishedCharts, ThirtySingleDiameters) {
  ChartSettings settings;
  settings.kind = ChartKind::i_mr;
  const ControlChart chart =
      control_chart(singles({24.05, 23.99, 23.95, 23.93, 23.97, 24.02, 24.06, 24.10, 23.98, 24.03,
                             23.91, 24.06, 24.06, 23.96, 23.98, 24.06, 24.01, 24.00, 23.93, 23.92,
                             24.09, 24.11, 24.05, 23.98, 23.98, 24.06, 24.02, 24.06, 23.97, 23.96}),
                    settings);
  EXPECT_NEAR(chart.limits.centre, 24.0083, 5e-5);
  EXPECT_NEAR(chart.limits.upper, 24.1596, 6e-5);
  EXPECT_NEAR(chart.limits.lower, 23.8571, 6e-5);
  EXPECT_NEAR(chart.spread_limits->centre, 0.056897, 6e-7);
  EXPECT_NEAR(chart.spread_limits->upper, 0.18585, 6e-6);
  EXPECT_NEAR(chart.basis.sigma, 0.050423, 6e-7);
}

// NIST/SEMATECH e-Handbook 6.3.3.1: defects on 25 wafers, centre 16, limits 4 and 28; 6.3.3.2: bad chips of
// 50, centre 0.2313, limits 0.0524 and 0.4103. Data and limits from memory; the limits agree with the data.
TEST(EHandbook, CountsAndBadFractions) {
  ChartSettings settings;
  settings.kind = ChartKind::c;
  const ControlChart wafers = control_chart(singles({16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14,
                                                     16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13}),
                                            settings);
  EXPECT_EQ(wafers.limits.centre, 16);
  EXPECT_EQ(wafers.limits.lower, 4);
  EXPECT_EQ(wafers.limits.upper, 28);
  ASSERT_EQ(wafers.signals.size(), 1u) << "28 lies on the limit and not beyond it; 31 is";
  EXPECT_EQ(wafers.signals[0].index, 23u);

  std::vector<Subgroup> chips;
  for (const double bad : {12, 15, 8, 10, 4,  7,  16, 9,  14, 10, 5,  6, 17, 12, 22,
                           8,  10, 5, 13, 11, 20, 18, 24, 15, 9,  12, 7, 13, 9,  6})
    chips.push_back({{bad}, 50});
  settings.kind = ChartKind::p;
  const ControlChart fractions = control_chart(chips, settings);
  EXPECT_NEAR(fractions.limits.centre, 0.2313, 5e-5);
  EXPECT_NEAR(fractions.limits.lower, 0.0524, 1e-4);
  EXPECT_NEAR(fractions.limits.upper, 0.4103, 1e-4);
}

// C. W. Champ and W. H. Woodall, Technometrics 29 (1987), table 1, from memory; their run on one side is 8.
TEST(PublishedRunLengths, OfChartsWithRunRules) {
  using enum RunRule;
  const auto length = [](std::vector<RunRule> rules, double shift) {
    return shewhart_run_length({std::move(rules), 8}, shift);
  };
  EXPECT_NEAR(length({outside_limits}, 0), 370.40, 0.005);
  EXPECT_NEAR(length({outside_limits, far_pair}, 0), 225.44, 0.005);
  EXPECT_NEAR(length({outside_limits, off_centre}, 0), 166.05, 0.005);
  EXPECT_NEAR(length({outside_limits, one_side}, 0), 152.73, 0.005);
  EXPECT_NEAR(length({outside_limits, far_pair, off_centre, one_side}, 0), 91.75, 0.005);
  EXPECT_NEAR(length({outside_limits}, 1), 43.89, 0.01);
  EXPECT_NEAR(length({outside_limits, far_pair, off_centre, one_side}, 1), 9.22, 0.01);
}

// J. M. Lucas and M. S. Saccucci, Technometrics 32 (1990), from memory: pairs that give 500 in control, and
// what a shift of one sigma takes.
TEST(PublishedRunLengths, OfEwmas) {
  struct Pair {
    double lambda, width, shifted;
  };
  for (const Pair& pair : {Pair{0.40, 3.054, 14.3}, Pair{0.25, 2.998, 11.1}, Pair{0.20, 2.962, 10.5},
                           Pair{0.10, 2.814, 10.3}, Pair{0.05, 2.615, 11.4}}) {
    EXPECT_NEAR(ewma_run_length(pair.lambda, pair.width, 0), 500, 2.5) << pair.lambda;
    EXPECT_NEAR(ewma_run_length(pair.lambda, pair.width, 1), pair.shifted, 0.06) << pair.lambda;
  }
}

// D. C. Montgomery, "Introduction to Statistical Quality Control", table of two-sided tabular CUSUMs with
// k = 1/2, from memory: shifts 0, 0.5, 1, 2.
TEST(PublishedRunLengths, OfCusums) {
  EXPECT_NEAR(cusum_run_length(0.5, 4, 0), 168, 0.5);
  EXPECT_NEAR(cusum_run_length(0.5, 4, 0.5), 26.6, 0.06);
  EXPECT_NEAR(cusum_run_length(0.5, 4, 1), 8.38, 0.006);
  EXPECT_NEAR(cusum_run_length(0.5, 4, 2), 3.34, 0.006);
  EXPECT_NEAR(cusum_run_length(0.5, 5, 0), 465, 0.6);
  EXPECT_NEAR(cusum_run_length(0.5, 5, 0.5), 38.0, 0.06);
  EXPECT_NEAR(cusum_run_length(0.5, 5, 1), 10.4, 0.06);
}

// Zero-failure numbers, and limits of a binomial fraction as R's binom.test gives them.
TEST(PublishedSampling, NumbersNeededAndExactLimits) {
  constexpr std::array fractions{0.10, 0.05, 0.02, 0.01};
  constexpr std::array<std::array<std::size_t, 4>, 3> needed{
      {{22, 45, 114, 230}, {29, 59, 149, 299}, {44, 90, 228, 459}}};
  constexpr std::array confidences{0.90, 0.95, 0.99};
  for (std::size_t c = 0; c < 3; ++c)
    for (std::size_t f = 0; f < 4; ++f)
      EXPECT_EQ(pieces_needed(fractions[f], 0, confidences[c]), needed[c][f])
          << confidences[c] << fractions[f];
  struct Row {
    std::size_t bad, checked;
    double low, high, one_sided;
  };
  for (const Row& row : {Row{0, 10, 0, .308497, .258866}, Row{0, 59, 0, .060609, .049508},
                         Row{1, 10, .002529, .445016, .394163}, Row{1, 100, .000253, .054459, .046560},
                         Row{2, 50, .004881, .137138, .120614}, Row{3, 20, .032071, .378927, .343664},
                         Row{10, 100, .049005, .176223, .163718}, Row{84, 85, .936187, .999702, 2},
                         Row{10, 10, .691503, 1, 2}}) {
    const Estimate told = clopper_pearson(row.checked, row.bad, 0.95);
    EXPECT_NEAR(told.low, row.low, 6e-7);
    EXPECT_NEAR(told.high, row.high, 6e-7);
    if (row.one_sided <= 1) {
      EXPECT_NEAR(at_most_bad(row.checked, row.bad, 0.95), row.one_sided, 6e-7);
    }
  }
  // As printed in the manual of an R package of general use: 5 bad of 100,000.
  EXPECT_NEAR(at_most_bad(100000, 5, 0.95), .0001051275, 6e-11);
}

// NIST/SEMATECH e-Handbook 7.2.6.3, from memory: 43 pieces, 90 % of all at 99 %: two-sided 2.217 by Howe's
// approximation, one-sided 1.8740 by the noncentral t.
TEST(EHandbook, ToleranceFactors) {
  const ToleranceFactors factors = tolerance_factors(43, 0.90, 0.99);
  EXPECT_NEAR(factors.two_sided, 2.217, 0.01);
  EXPECT_NEAR(factors.one_sided, 1.8740, 5e-5);
}

// Chances of acceptance of single plans at 0.5, 1, 2.5, 4, 5 and 10 % bad, by R's binomial.
TEST(PublishedSampling, WhatPlansAccept) {
  constexpr std::array bad{0.005, 0.01, 0.025, 0.04, 0.05, 0.10};
  struct Row {
    std::size_t pieces, accept;
    std::array<double, 6> accepted;
  };
  for (const Row& row : {Row{13, 0, {.93691, .87752, .71955, .58820, .51334, .25419}},
                         Row{32, 1, {.98878, .95932, .80973, .63191, .51996, .15642}},
                         Row{80, 5, {1.00000, .99984, .98479, .89881, .78922, .17692}},
                         Row{125, 7, {1.00000, .99996, .98638, .87093, .71172, .06005}}})
    for (std::size_t i = 0; i < bad.size(); ++i)
      EXPECT_NEAR(plan_outcome(StagedPlan{{row.pieces, row.accept, row.accept + 1}}, bad[i]).accepted,
                  row.accepted[i], 6e-6);
}

// NIST/SEMATECH e-Handbook 6.1.6 (limits 8 and 20, mean 16, sd 2: Cp 1, Cpk 2/3), and intervals of an index
// of 1.33 from 100 values: chi-squared, and Bissell's.
TEST(EHandbook, CapabilityAndItsInterval) {
  std::vector<std::vector<double>> cores;
  for (int i = 0; i < 100; ++i)
    cores.push_back({i % 2 == 0 ? 16 - 2 * std::sqrt(0.99) : 16 + 2 * std::sqrt(0.99)});
  const Capability told = capability(cores, {8, 20});
  EXPECT_NEAR(told.pp->value, 1.0, 1e-9);
  EXPECT_NEAR(told.ppk.value, 2.0 / 3, 1e-9);
  const double half = 3 * 1.33 * 2;  // both limits so far off the mean that Pp = Ppk = 1.33
  const Capability centred = capability(cores, {16 - half, 16 + half});
  EXPECT_NEAR(centred.pp->low, 1.14490, 6e-6);
  EXPECT_NEAR(centred.pp->high, 1.51479, 6e-6);
  EXPECT_NEAR(centred.ppk.low, 1.13356, 6e-6);
}

// The gauge study of ten parts, three people and three trials that the automotive handbook works through;
// data from memory, its analysis of variance recomputed elsewhere. Pooled: sd of repeatability 0.199933,
// people 0.226838, parts 1.042327.
TEST(PublishedGaugeStudy, TenPartsThreePeopleThreeTrials) {
  constexpr std::array<std::array<double, 10>, 9> trials{
      {{.29, -.56, 1.34, .47, -.80, .02, .59, -.31, 2.26, -1.36},
       {.41, -.68, 1.17, .50, -.92, -.11, .75, -.20, 1.99, -1.25},
       {.64, -.58, 1.27, .64, -.84, -.21, .66, -.17, 2.01, -1.31},
       {.08, -.47, 1.19, .01, -.56, -.20, .47, -.63, 1.80, -1.68},
       {.25, -1.22, .94, 1.03, -1.20, .22, .55, .08, 2.12, -1.62},
       {.07, -.68, 1.34, .20, -1.28, .06, .83, -.34, 2.19, -1.50},
       {.04, -1.38, .88, .14, -1.46, -.29, .02, -.46, 1.77, -1.49},
       {-.11, -1.13, 1.09, .20, -1.07, -.67, .01, -.56, 1.45, -1.77},
       {-.15, -.96, .67, .11, -1.45, -.49, .21, -.49, 1.87, -2.16}}};
  std::vector<GaugeReading> readings;
  for (std::size_t t = 0; t < trials.size(); ++t)
    for (std::size_t part = 0; part < 10; ++part)
      readings.push_back(
          {std::to_string(part + 1), std::string(1, static_cast<char>('A' + t / 3)), trials[t][part]});
  const GaugeStudy study = gauge_study(readings);
  EXPECT_NEAR(study.anova.person.squares, 3.16726, 6e-6);
  EXPECT_NEAR(study.anova.part.squares, 88.36193, 6e-6);
  EXPECT_NEAR(study.anova.interaction.squares, 0.35898, 6e-6);
  EXPECT_NEAR(study.anova.repeat.squares, 2.75893, 6e-6);
  EXPECT_TRUE(study.pooled);
  EXPECT_NEAR(std::sqrt(study.repeatability.value), 0.199933, 6e-7);
  EXPECT_NEAR(std::sqrt(study.reproducibility.value), 0.226838, 6e-7);
  EXPECT_NEAR(std::sqrt(study.parts.value), 1.042327, 6e-7);
  EXPECT_NEAR(study.grr_percent.value, 27.9, 0.1);
  EXPECT_EQ(study.ndc, 4);
}

// NIST/SEMATECH e-Handbook 3.2.3.2.1, two-way crossed analysis: five machines, two operators, five pins each.
// Data and sums from memory: machines 0.000303, operators 0.00000392, both together 0.00001468, within
// 0.000346, F of the machines 8.8.
TEST(EHandbook, CrossedAnalysisOfFiveMachinesAndTwoOperators) {
  constexpr std::array<std::array<double, 5>, 10> pins{{{.125, .118, .123, .126, .118},
                                                        {.127, .122, .125, .128, .129},
                                                        {.125, .120, .125, .126, .127},
                                                        {.126, .124, .124, .127, .120},
                                                        {.128, .119, .126, .129, .121},
                                                        {.124, .116, .122, .126, .125},
                                                        {.128, .125, .121, .129, .123},
                                                        {.127, .119, .124, .125, .114},
                                                        {.126, .125, .126, .130, .124},
                                                        {.129, .120, .125, .124, .117}}};
  std::vector<GaugeReading> readings;
  for (std::size_t row = 0; row < pins.size(); ++row)
    for (std::size_t machine = 0; machine < 5; ++machine)
      readings.push_back({std::to_string(machine + 1), row < 5 ? "day" : "night", pins[row][machine]});
  const CrossedAnova anova = gauge_study(readings).anova;
  EXPECT_NEAR(anova.part.squares, 0.000303, 5e-7);
  EXPECT_NEAR(anova.person.squares, 0.00000392, 5e-9);
  EXPECT_NEAR(anova.interaction.squares, 0.00001468, 5e-9);
  EXPECT_NEAR(anova.repeat.squares, 0.000346, 5e-7);
  EXPECT_NEAR(anova.part.squares / 4 / (anova.repeat.squares / 40), 8.8, 0.05);
}

}  // namespace
}  // namespace boxfettle
