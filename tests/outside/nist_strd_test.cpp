// Means, scatter, regression and analysis of variance against the certified values of the NIST Statistical
// Reference Datasets. The log relative error (LRE) is about the number of digits that agree; 15 is all that
// the certificates give. Certified values as in tests/outside/nist_strd_data.hpp; those of NoInt, Wampler,
// Filip's scatter and AtmWtAg's sums of squares from memory.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>

#include "outside/nist_strd_data.hpp"
#include "statistics/gauge_study.hpp"
#include "statistics/moments.hpp"
#include "statistics/regression.hpp"

namespace boxfettle {
namespace {

double lre(double told, double certified) {
  const double error = certified == 0 ? std::abs(told) : std::abs(told - certified) / std::abs(certified);
  return error > 0 ? std::min(-std::log10(error), 15.0) : 15.0;
}

// At least `wanted` digits; printed as one line of the table.
void expect_digits(const std::string& set, const char* what, double told, double certified, double wanted) {
  const double digits = lre(told, certified);
  std::printf("  %-12s %-12s LRE %4.1f  (wanted %.0f)\n", set.c_str(), what, digits, wanted);
  EXPECT_GE(digits, wanted) << set << " " << what << ": " << told << " for " << certified;
}

std::vector<double> around(double middle, double off) {
  std::vector<double> values{middle};
  for (int i = 0; i < 500; ++i) {
    values.push_back(middle - off);
    values.push_back(middle + off);
  }
  return values;
}

TEST(NistStrd, MeanAndStandardDeviation) {
  struct Set {
    const char* name;
    std::vector<double> values;
    double mean, sd, sd_digits;
  };
  // The values of NumAcc3 and NumAcc4 hold their scatter to some 9 and 8 digits only.
  for (const Set& set : {Set{"Lottery", strd::lottery, 518.958715596330, 291.699727470969, 14},
                         Set{"Lew", strd::lew, -177.435000000000, 277.332168044316, 14},
                         Set{"Mavro", strd::mavro, 2.00185600000000, 0.000429123454003053, 12},
                         Set{"Michelso", strd::michelso, 299.852400000000, 0.0790105478190518, 13},
                         Set{"NumAcc1", {10000001, 10000003, 10000002}, 10000002, 1, 15},
                         Set{"NumAcc2", around(1.2, 0.1), 1.2, 0.1, 14},
                         Set{"NumAcc3", around(1000000.2, 0.1), 1000000.2, 0.1, 9},
                         Set{"NumAcc4", around(10000000.2, 0.1), 10000000.2, 0.1, 8}}) {
    expect_digits(set.name, "mean", Moments(set.values).mean(), set.mean, 14);
    expect_digits(set.name, "sd", *Moments(set.values).sd(), set.sd, set.sd_digits);
    Moments grown;
    for (const double value : set.values) grown.add(value);
    expect_digits(set.name, "sd, grown", *grown.sd(), set.sd, set.sd_digits - 1);
  }
}

struct Certified {
  const char* name;
  std::vector<double> coefficients, sds;
  double residual_sd, r_squared, digits;
};

void expect_fit(const Eigen::MatrixXd& design, const Eigen::VectorXd& values, const Certified& certified) {
  const auto fit = regression(design, values);
  ASSERT_TRUE(fit) << certified.name;
  const auto expect = [&](const char* what, double told, double truth) {
    expect_digits(certified.name, what, told, truth, certified.digits);
  };
  double worst = 15, worst_sd = 15;
  for (std::size_t i = 0; i < certified.coefficients.size(); ++i)
    worst = std::min(worst, lre(fit->coefficients(static_cast<Eigen::Index>(i)), certified.coefficients[i]));
  for (std::size_t i = 0; i < certified.sds.size(); ++i)
    worst_sd = std::min(worst_sd, lre(fit->coefficient_sd(static_cast<Eigen::Index>(i)), certified.sds[i]));
  std::printf("  %-12s %-12s LRE %4.1f  (wanted %.0f)\n", certified.name, "coefficients", worst,
              certified.digits);
  std::printf("  %-12s %-12s LRE %4.1f  (wanted %.0f)\n", certified.name, "their sds", worst_sd,
              certified.digits);
  EXPECT_GE(worst, certified.digits) << certified.name;
  EXPECT_GE(worst_sd, certified.digits) << certified.name;
  if (certified.residual_sd > 0) expect("residual sd", fit->residual_sd, certified.residual_sd);
  expect("R squared", fit->r_squared, certified.r_squared);
}

Eigen::VectorXd vector_of(const std::vector<double>& values) {
  return Eigen::Map<const Eigen::VectorXd>(values.data(), static_cast<Eigen::Index>(values.size()));
}

Eigen::MatrixXd powers(const Eigen::VectorXd& x, int lowest, int highest) {
  Eigen::MatrixXd design(x.size(), highest - lowest + 1);
  for (int power = lowest; power <= highest; ++power) design.col(power - lowest) = x.array().pow(power);
  return design;
}

TEST(NistStrd, StraightLinesAndParabolas) {
  expect_fit(powers(vector_of(strd::norris_x), 0, 1), vector_of(strd::norris_y),
             {"Norris",
              {-0.262323073774029, 1.00211681802045},
              {0.232818234301152, 0.429796848199937e-03},
              0.884796396144373,
              0.999993745883712,
              12});
  std::vector<double> load;
  for (int i = 0; i < 40; ++i) load.push_back(150000.0 * (i % 20 + 1));
  expect_fit(powers(vector_of(load), 0, 2), vector_of(strd::pontius_y),
             {"Pontius",
              {0.673565789473684e-03, 0.732059160401003e-06, -0.316081871345029e-14},
              {},
              0.205177424076185e-03,
              0.999999900178537,
              11});
  expect_fit(
      Eigen::VectorXd::LinSpaced(11, 60, 70), Eigen::VectorXd::LinSpaced(11, 130, 140),
      {"NoInt1", {2.07438016528926}, {0.165289256198347e-01}, 3.56753034006338, 0.999365492298663, 13});
  expect_fit(
      vector_of({4, 5, 6}), vector_of({3, 4, 4}),
      {"NoInt2", {0.727272727272727}, {0.420827318078432e-01}, 0.369274472937998, 0.993348115299335, 13});
}

TEST(NistStrd, RegressionOfManyColumnsThatAreNearlyAlike) {
  Eigen::MatrixXd design(16, 7);
  Eigen::VectorXd values(16);
  for (Eigen::Index i = 0; i < 16; ++i) {
    const auto& row = strd::longley[static_cast<std::size_t>(i)];
    values(i) = row[0];
    design(i, 0) = 1;
    for (Eigen::Index j = 1; j < 7; ++j) design(i, j) = row[static_cast<std::size_t>(j)];
  }
  expect_fit(design, values,
             {"Longley",
              {-3482258.63459582, 15.0618722713733, -0.358191792925910e-01, -2.02022980381683,
               -1.03322686717359, -0.511041056535807e-01, 1829.15146461355},
              {890420.383607373, 84.9149257747669, 0.334910077722432e-01, 0.488399681651699,
               0.214274163161675, 0.226073200069370, 455.478499142212},
              304.854073561965,
              0.995479004577296,
              9});
}

// Ten powers of nearly one number: the columns agree to fourteen digits, so that double precision leaves some
// seven of the coefficients.
TEST(NistStrd, PolynomialsOfHighDegree) {
  const Eigen::VectorXd x = Eigen::VectorXd::LinSpaced(21, 0, 20);
  const Eigen::VectorXd one = powers(x, 0, 5).rowwise().sum(), tenth = powers(x / 10, 0, 5).rowwise().sum();
  expect_fit(powers(x, 0, 5), one, {"Wampler1", {1, 1, 1, 1, 1, 1}, {}, 0, 1, 9});
  expect_fit(powers(x, 0, 5), tenth, {"Wampler2", {1, 0.1, 0.01, 0.001, 0.0001, 0.00001}, {}, 0, 1, 11});
  expect_fit(powers(vector_of(strd::filip_x), 0, 10), vector_of(strd::filip_y),
             {"Filip",
              {-1467.48961422980, -2772.17959193342, -2316.37108160893, -1127.97394098372, -354.478233703349,
               -75.1242017393757, -10.8753180355343, -1.06221498588947, -0.670191154593408e-01,
               -0.246781078275479e-02, -0.402962525080404e-04},
              {298.084530995537, 559.779865474950, 466.477572127796},
              0.334801051324544e-02,
              0.996727416185620,
              7});
}

struct Between {
  double f, r_squared, residual_sd;
};

Between analysed(const std::vector<double>& values, std::size_t groups) {
  std::vector<GaugeReading> readings;
  const std::size_t each = values.size() / groups;
  for (std::size_t i = 0; i < values.size(); ++i)
    readings.push_back({std::to_string(i / each), "one", values[i]});
  const CrossedAnova anova = crossed_anova(readings);
  return {anova.part.mean_square() / anova.repeat.mean_square(),
          anova.part.squares / (anova.part.squares + anova.repeat.squares),
          std::sqrt(anova.repeat.mean_square())};
}

// Simon and Lesage's sets: a constant, and 0.2 for the first, 0.1 and 0.3 by turns for the others, for the
// treatment and for the replicate.
std::vector<double> simon_lesage(double constant, int replicates) {
  const auto step = [](int i) { return i == 1 ? 0.2 : i % 2 == 0 ? 0.1 : 0.3; };
  std::vector<double> values;
  for (int treatment = 1; treatment <= 9; ++treatment)
    for (int replicate = 1; replicate <= replicates; ++replicate)
      values.push_back(constant + step(treatment) + step(replicate));
  return values;
}

TEST(NistStrd, AnalysisOfVariance) {
  const auto expect = [](const char* name, const Between& told, const Between& certified, double digits) {
    expect_digits(name, "F", told.f, certified.f, digits);
    expect_digits(name, "R squared", told.r_squared, certified.r_squared, digits);
    expect_digits(name, "residual sd", told.residual_sd, certified.residual_sd, digits);
  };
  expect("SiRstv", analysed(strd::si_rstv, 5), {1.18046237440255, 0.190999039051129, 0.104076068334656}, 12);
  // A spread of 1e-5 on 107.868 in double holds ten digits of F.
  expect("AtmWtAg", analysed(strd::atm_wt_ag, 2), {15.9467335677930, 0.257426544538321, 1.51048314446410e-05},
         9);
  struct Size {
    int replicates;
    double f, r_squared;
  };
  for (const Size& size :
       {Size{21, 21, 14.0 / 29}, Size{201, 201, 134.0 / 284}, Size{2001, 2001, 1334.0 / 2834}}) {
    const Between certified{size.f, size.r_squared, 0.1};
    const std::string many = std::to_string(size.replicates);
    expect(("SmLs 1+ " + many).c_str(), analysed(simon_lesage(1, size.replicates), 9), certified, 12);
    // A constant of a million leaves 1e-10/0.1 of a value, one of a trillion 1e-4/0.1.
    expect(("SmLs 1e6+" + many).c_str(), analysed(simon_lesage(1e6, size.replicates), 9), certified, 9);
    expect(("SmLs 1e12+" + many).c_str(), analysed(simon_lesage(1e12, size.replicates), 9), certified, 2);
  }
}

}  // namespace
}  // namespace boxfettle
