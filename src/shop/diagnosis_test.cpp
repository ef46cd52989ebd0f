#include "shop/diagnosis.hpp"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "shop/checkpoint.hpp"
#include "shop/next_check.hpp"

namespace boxfettle {
namespace {

double chance() {
  return *rc::gen::inRange(1, 999) / 1000.0;
}

FaultNetwork drawn_network() {
  FaultNetwork network{1, "drawn", {}, {}};
  for (int i = 0; i < 5; ++i)
    network.findings.push_back({std::to_string(i), "", chance(), i < 3 ? std::nullopt : std::optional(4.0)});
  for (int i = 0; i < 6; ++i) {
    Fault fault{std::to_string(i), "", chance(), {}};
    for (std::size_t f = 0; f < 5; ++f)
      if (*rc::gen::arbitrary<bool>()) fault.links.push_back({f, chance()});
    network.faults.push_back(fault);
  }
  return network;
}

FoundSoFar drawn_findings() {
  FoundSoFar found;
  for (std::size_t f = 0; f < 5; ++f)
    if (const int look = *rc::gen::inRange(0, 3); look < 2) found[f] = look == 1;
  return found;
}

// The definition, written out: one chance for each set of faults.
double joint(const FaultNetwork& network, const FoundSoFar& found, unsigned faults) {
  double all = 1;
  for (std::size_t i = 0; i < network.faults.size(); ++i)
    all *= (faults >> i & 1u) ? network.faults[i].prior : 1 - network.faults[i].prior;
  for (const auto& [finding, seen] : found) {
    double silent = 1 - network.findings[finding].leak;
    for (std::size_t i = 0; i < network.faults.size(); ++i)
      for (const FaultLink& link : network.faults[i].links)
        if ((faults >> i & 1u) && link.finding == finding) silent *= 1 - link.strength;
    all *= seen ? 1 - silent : silent;
  }
  return all;
}

RC_GTEST_PROP(Diagnosis, AgreesWithTheSumOverAllSetsOfFaults, ()) {
  const FaultNetwork network = drawn_network();
  const FoundSoFar found = drawn_findings();
  double evidence = 0;
  std::vector<double> with_fault(network.faults.size(), 0.0);
  for (unsigned set = 0; set < 64; ++set) {
    const double weight = joint(network, found, set);
    evidence += weight;
    for (std::size_t i = 0; i < with_fault.size(); ++i)
      if (set >> i & 1u) with_fault[i] += weight;
  }
  const auto told = diagnose(network, found);
  RC_ASSERT(told.has_value());
  RC_ASSERT(std::abs(told->evidence_probability - evidence) < 1e-12);
  for (std::size_t i = 0; i < with_fault.size(); ++i)
    RC_ASSERT(std::abs(told->probabilities[i] - with_fault[i] / evidence) < 1e-12);
}

RC_GTEST_PROP(Diagnosis, ACheckNeverTellsLessThanNothingNorFailsMoreThanSurely, ()) {
  for (const NextCheck& check : next_checks(drawn_network(), drawn_findings())) {
    RC_ASSERT(check.information_bits >= -1e-12);  // rounding; the entropy itself never grows on average
    RC_ASSERT(check.fails_probability > 0);
    RC_ASSERT(check.fails_probability < 1);
  }
}

RC_GTEST_PROP(Diagnosis, EveryProbabilityLiesBetweenNeverAndAlways, ()) {
  const auto told = diagnose(drawn_network(), drawn_findings());
  RC_ASSERT(told.has_value());
  RC_ASSERT(told->evidence_probability > 0 && told->evidence_probability <= 1 + 1e-12);
  for (const double probability : told->probabilities) RC_ASSERT(probability >= 0 && probability <= 1);
}

// The same network with its faults and findings in another order, and the evidence named accordingly.
RC_GTEST_PROP(Diagnosis, TheOrderOfFaultsAndOfFindingsDoesNotMatter, ()) {
  const FaultNetwork network = drawn_network();
  const FoundSoFar found = drawn_findings();
  FaultNetwork turned = network;
  std::ranges::reverse(turned.faults);
  std::ranges::reverse(turned.findings);
  const std::size_t last = network.findings.size() - 1;
  for (Fault& fault : turned.faults)
    for (FaultLink& link : fault.links) link.finding = last - link.finding;
  FoundSoFar found_turned;
  for (const auto& [finding, seen] : found) found_turned[last - finding] = seen;
  const auto told = diagnose(network, found), told_turned = diagnose(turned, found_turned);
  RC_ASSERT(told && told_turned);
  for (std::size_t i = 0; i < network.faults.size(); ++i)
    RC_ASSERT(std::abs(told->probabilities[i] - told_turned->probabilities[network.faults.size() - 1 - i]) <
              1e-12);
}

// Two faults can bring one defect, and a checkpoint shows one of them: once it fails, the defect is explained
// and the other fault is less in doubt. Once it passes, more.
RC_GTEST_PROP(Diagnosis, WhatOneFaultExplainsSpeaksLessForTheOther, ()) {
  const FaultNetwork network{
      1,
      "drawn",
      {{"defect", "", chance(), std::nullopt}, {"check", "", chance(), 4.0}},
      {{"shown", "", chance(), {{0, chance()}, {1, chance()}}}, {"other", "", chance(), {{0, chance()}}}}};
  const auto other = [&](const FoundSoFar& found) { return diagnose(network, found)->probabilities[1]; };
  const double before = other({{0, true}});
  RC_ASSERT(before >= network.faults[1].prior - 1e-12);
  RC_ASSERT(other({{0, true}, {1, true}}) <= before + 1e-12);
  RC_ASSERT(other({{0, true}, {1, false}}) >= before - 1e-12);
}

double told(const FoundSoFar& found, std::string_view fault) {
  return diagnose(shipped_faults(), found)->probabilities[*shipped_faults().fault_named(fault)];
}

std::size_t at(std::string_view finding) {
  return *shipped_faults().finding_named(finding);
}

TEST(Diagnosis, NothingFoundLeavesThePriors) {
  for (const Fault& fault : shipped_faults().faults) EXPECT_NEAR(told({}, fault.id), fault.prior, 1e-12);
}

TEST(Diagnosis, FailedVentsExplainANotFilledCoreAwayFromLowPressure) {
  const double not_filled = told({{at("not-filled"), true}}, "pressure-low");
  EXPECT_GT(not_filled, told({}, "pressure-low"));
  EXPECT_LT(told({{at("not-filled"), true}, {at("vents"), true}}, "pressure-low"), not_filled);
}

TEST(Diagnosis, TooManyThingsWrongAtOnceAreNotTold) {
  FoundSoFar found;
  for (std::size_t i = 0; i <= most_things_wrong; ++i) found[i] = true;
  EXPECT_FALSE(diagnose(shipped_faults(), found).has_value());
}

TEST(NextCheck, AStepAtThePartingSendsToTheDowels) {
  const auto checks = next_checks(shipped_faults(), {{at("mismatch"), true}});
  ASSERT_FALSE(checks.empty());
  EXPECT_EQ(checks.front().finding, at("dowels"));
  EXPECT_THAT(sentence(shipped_faults(), checks.front()),
              testing::StartsWith("Look at the dowels next: 6 minutes; if this check fails, 'Dowels"));
}

// As docs/my-cores-have-a-defect.md tells it.
TEST(NextCheck, EachDefectAloneSendsWhereTheQuestionPageSends) {
  const std::map<std::string_view, std::string_view> first{
      {"mismatch", "dowels"},        {"fin", "clamps"},
      {"oversize", "clamps"},        {"overweight", "clamps"},
      {"not-filled", "vents"},       {"soft-spot", "vents"},
      {"gas-starved", "seals"},      {"sticking", "cavity"},
      {"broken", "cavity"},          {"scratch", "cavity"},
      {"wrong-feature", "ejectors"}, {"missing-feature", "loose-pieces"},
      {"erosion", "cavity"}};
  ASSERT_EQ(first.size(), core_defect_names.size());
  for (const auto& [defect, check] : first)
    EXPECT_EQ(next_checks(shipped_faults(), {{at(defect), true}}).front().finding, at(check)) << defect;
}

TEST(FaultNetwork, ItsChecksAreCheckpointsAndItsDefectsAreAllThereAre) {
  std::size_t defects = 0;
  for (const Observable& finding : shipped_faults().findings) {
    if (finding.minutes)
      EXPECT_NE(shipped_catalogue().find(finding.id), nullptr) << finding.id;
    else
      ++defects;
  }
  EXPECT_EQ(defects, core_defect_names.size());
}

}  // namespace
}  // namespace boxfettle
