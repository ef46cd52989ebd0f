// Our figures against those of R and its survival package, on data drawn here. R is run once, by
// r_reference.R; its answers are lines of a name and numbers.
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <map>
#include <sstream>

#include "outside/r_reference_data.hpp"
#include "statistics/anderson_darling.hpp"
#include "statistics/average_run_length.hpp"
#include "statistics/control_chart.hpp"
#include "statistics/first_pieces.hpp"
#include "statistics/gauge_study.hpp"
#include "statistics/regression.hpp"
#include "statistics/wear.hpp"
#include "statistics/weibull_life.hpp"
#include "stories/program_run.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

class R : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    const fs::path folder = fs::temp_directory_path() / ("boxfettle_r_" + std::to_string(::getpid()));
    fs::create_directories(folder);
    write_r_tables(folder);
    const Ran ran = run_program({BOXFETTLE_RSCRIPT, "--vanilla",
                                 BOXFETTLE_SOURCE_DIR "/tests/outside/r_reference.R", folder.string()},
                                folder);
    fs::remove_all(folder);
    ASSERT_EQ(ran.exit_code, 0) << ran.err;
    std::istringstream lines(ran.out);
    for (std::string line; std::getline(lines, line);) {
      std::istringstream words(line);
      std::string name;
      words >> name;
      std::vector<double> numbers;
      for (std::string word; words >> word;) numbers.push_back(std::stod(word));
      said[name].push_back(numbers);
    }
  }
  // Each number to the share given: R prints fifteen digits, its searches stop at some ten.
  static void expect(const std::string& name, const std::vector<double>& ours, double share,
                     std::size_t line = 0) {
    ASSERT_GT(said[name].size(), line) << name;
    const std::vector<double>& theirs = said[name][line];
    ASSERT_EQ(theirs.size(), ours.size()) << name;
    for (std::size_t i = 0; i < ours.size(); ++i)
      EXPECT_NEAR(ours[i], theirs[i], share * std::max(std::abs(theirs[i]), 1e-12))
          << name << " number " << i + 1;
  }

  inline static std::map<std::string, std::vector<std::vector<double>>> said;
};

TEST_F(R, GivesTheSameExactLimitsOfABadFraction) {
  std::size_t line = 0;
  for (const BinomialCase& one : binomial_cases()) {
    const Estimate told = clopper_pearson(one.checked, one.bad, one.confidence);
    expect("binomial", {told.low, told.high, at_most_bad(one.checked, one.bad, one.confidence)}, 1e-10,
           line++);
  }
}

void expect_life(const std::string& name, const std::vector<LifeRecord>& records,
                 const std::function<void(const std::string&, const std::vector<double>&, double)>& expect) {
  const auto life = weibull_life(records);
  ASSERT_TRUE(life);
  const LifeEstimate shape = shape_interval(records, *life, 0.95);
  ASSERT_TRUE(shape.low && shape.high);
  // survreg stops when its likelihood gains less than 1e-9.
  expect(name, {life->shape, life->scale, life->log_likelihood, *shape.low, *shape.high}, 2e-5);
}

TEST_F(R, FitsTheSameLifeToBushesOfWhichSomeStillHold) {
  const auto check = [](const std::string& name, const std::vector<double>& ours, double share) {
    expect(name, ours, share);
  };
  expect_life("right_censored", right_censored_lives(), check);
  expect_life("interval_censored", interval_censored_lives(), check);
}

TEST_F(R, GivesTheSameB10WithTheSameInterval) {
  const std::vector<LifeRecord> records = right_censored_lives();
  const LifeEstimate b10 = quantile_interval(records, *weibull_life(records), 0.1, 0.95);
  ASSERT_TRUE(b10.low && b10.high);
  expect("b10", {b10.value, *b10.low, *b10.high}, 2e-5);
}

TEST_F(R, ComparesGroupsWithTheSameOutcome) {
  std::vector<std::vector<LifeRecord>> groups(2);
  const std::vector<LifeRecord> records = right_censored_lives();
  for (std::size_t i = 0; i < records.size(); ++i) groups[i % 2].push_back(records[i]);
  expect("groups", {*compare_groups(groups).p_value}, 1e-6);
}

TEST_F(R, FitsTheSameLinesAndForeseesTheSameReading) {
  const std::vector<WearReading> readings = wear_readings();
  const auto n = static_cast<Eigen::Index>(readings.size());
  Eigen::MatrixXd design(n, 2);
  Eigen::VectorXd depth(n), weight(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const WearReading& one = readings[static_cast<std::size_t>(i)];
    design.row(i) << 1, one.shots;
    depth(i) = one.depth_mm;
    weight(i) = std::pow(*one.u95_mm, -2);
  }
  const auto numbers = [](const Regression& fit) {
    return std::vector{fit.coefficients(0),   fit.coefficients(1), fit.coefficient_sd(0),
                       fit.coefficient_sd(1), fit.residual_sd,     fit.r_squared};
  };
  const auto plain = regression(design, depth), weighted = regression(design, depth, weight);
  expect("line", numbers(*plain), 1e-10);
  expect("weighted", numbers(*weighted), 1e-10);
  const Eigen::Vector2d at(1, 40000);
  const double middle = plain->predicted(at), reach = plain->prediction_reach(at, 0.9);
  expect("prediction", {middle, middle - reach, middle + reach}, 1e-10);
}

// Fieller's limits of where a line crosses are what the drawn shots come to for one patch whose slope is well
// told; 40,000 draws know their 5 % to some 0.6 %.
TEST_F(R, ForeseesTheSameShotsToTheLimit) {
  std::vector<WearReading> readings = wear_readings();
  for (WearReading& one : readings) one.u95_mm.reset();
  WearSettings settings;
  settings.draws = 40000;
  const Wear told = wear(readings, settings);
  expect("crossing", {told.shots_to_limit->low, told.shots_to_limit->value, told.shots_to_limit->high},
         0.015);
}

TEST_F(R, SplitsAGaugeStudyAlike) {
  const std::vector<GaugeReading> readings = gauge_readings();
  const CrossedAnova anova = crossed_anova(readings);
  expect("anova",
         {anova.part.squares, anova.person.squares, anova.interaction.squares, anova.repeat.squares,
          *gauge_study(readings).interaction_p},
         1e-9);
}

TEST_F(R, FindsWeightsAsFarFromNormal) {
  expect("normality", {anderson_darling(leaning_weights())->a_squared}, 1e-10);
}

TEST_F(R, GivesTheSameToleranceFactors) {
  std::size_t line = 0;
  for (const std::size_t count : {3u, 8u, 30u}) {
    const ToleranceFactors told = tolerance_factors(count, 0.9, 0.95);
    expect("tolerance", {told.two_sided, told.one_sided}, 1e-7, line++);
  }
}

// Two chains of states, taken to their limit.
TEST_F(R, GivesTheSameRunLengthOfAnEwmaByAnotherMethod) {
  expect("ewma", {ewma_run_length(0.2, 2.962, 0), ewma_run_length(0.2, 2.962, 1)}, 1e-6);
}

// Counts: the limits are three sigma of a Poisson or binomial distribution, which R sums up term by term.
TEST_F(R, DrawsTheSameLimitsOfCountsAndBadFractions) {
  const auto told = [](ChartKind kind, const std::vector<int>& counts) {
    ChartSettings settings;
    settings.kind = kind;
    std::vector<Subgroup> points;
    for (const int count : counts) points.push_back({{static_cast<double>(count)}, 50});
    const ControlChart chart = control_chart(points, settings);
    return std::vector{chart.limits.centre, chart.limits.lower, chart.limits.upper,
                       *chart.run_lengths.in_control};
  };
  expect("counts", told(ChartKind::c, defects_counted()), 1e-9);
  expect("fractions", told(ChartKind::p, bad_of_fifty()), 1e-9);
}

}  // namespace
}  // namespace boxfettle
