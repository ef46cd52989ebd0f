// Laws of the tables of fits. Limits printed elsewhere stand in tests/outside/iso_286_test.cpp.
#include "closing/fit.hpp"

#include <gtest/gtest.h>

#include "closing/iso_286_tables.hpp"
#include "input/input_error.hpp"

namespace boxfettle {
namespace {

const std::vector<double> sizes_mm{1.5, 3,   4,   6,   8,   12,  16,  20,  24,  28,  35,  45,  60,  70,  90,
                                   110, 130, 150, 170, 190, 210, 240, 260, 300, 330, 380, 420, 460, 499, 500};
const std::vector<std::string> letters{"a", "b",  "c", "cd", "d", "e",  "ef", "f", "fg", "g",
                                       "h", "js", "j", "k",  "m", "n",  "p",  "r", "s",  "t",
                                       "u", "v",  "x", "y",  "z", "za", "zb", "zc"};

std::string upper_case(std::string text) {
  for (char& c : text) c = static_cast<char>(c - 'a' + 'A');
  return text;
}

TEST(Fits, EveryZoneIsAsWideAsItsGradeSays) {
  int checked = 0;
  for (const double size : sizes_mm)
    for (const std::string& letter : letters)
      for (int grade = 1; grade <= 18; ++grade)
        for (const std::string& written : {letter, upper_case(letter)})
          if (const auto limits = limits_of(size, {written, grade})) {
            EXPECT_NEAR(limits->upper_um - limits->lower_um, standard_tolerance_um(size, grade), 1e-9)
                << size << " " << written << grade;
            ++checked;
          }
  EXPECT_GT(checked, 20000);  // of 30 sizes, 28 letters, 18 grades, holes and shafts: few are not given
}

TEST(Fits, ACoarserGradeAndALargerSizeAreWider) {
  for (const double size : sizes_mm)
    for (int grade = 1; grade < 18; ++grade) {
      EXPECT_LT(standard_tolerance_um(size, grade), standard_tolerance_um(size, grade + 1));
      if (size < 250) {
        EXPECT_LE(standard_tolerance_um(size, grade), standard_tolerance_um(2 * size, grade));
      }
    }
}

// Further along the alphabet a shaft is larger, whatever the size.
TEST(Fits, LettersRunFromLooseToTight) {
  for (const double size : sizes_mm) {
    double before = -1e9;
    for (const std::string& letter : letters) {
      if (letter == "js" || letter == "j") continue;
      const auto deviation = shaft_deviation_um(size, letter);
      if (!deviation) continue;
      // k to 3 mm and h are both 0; from za on all grow strictly.
      EXPECT_GE(*deviation, before) << letter << " at " << size;
      before = *deviation;
    }
  }
}

TEST(Fits, LettersAreGivenOnlyWhereTheStandardHasThem) {
  EXPECT_FALSE(limits_of(24, {"t", 6}));
  EXPECT_TRUE(limits_of(24.5, {"t", 6}));
  EXPECT_FALSE(limits_of(14, {"v", 6}));
  EXPECT_FALSE(limits_of(12, {"cd", 6}));
  EXPECT_TRUE(limits_of(10, {"cd", 6}));
  EXPECT_FALSE(limits_of(12, {"K", 9}));
  EXPECT_FALSE(limits_of(1, {"a", 11}));
  EXPECT_TRUE(limits_of(1, {"h", 6}));
}

TEST(Fits, NamesThatAreNoneAreRefusedWithWhatIsWrong) {
  for (const char* bad :
       {"H7", "H7/", "/g6", "h7/g6", "H7/G6", "Q7/g6", "H0/g6", "H19/g6", "H7/g6x", "HH7/g6", "Hg7/h6"})
    EXPECT_THROW(fit_named(bad), InputError) << bad;
  EXPECT_THROW(fit_result(0.5, fit_named("H7/g6")), InputError);
  EXPECT_THROW(fit_result(501, fit_named("H7/g6")), InputError);
  EXPECT_THROW(fit_result(20, fit_named("H7/t6")), InputError);
}

TEST(Fits, WarmAluminiumOnASteelPinGainsClearanceByItsGrowth) {
  FitWarmth warmth;
  warmth.hole_temperature_C = warmth.shaft_temperature_C = 80;
  warmth.hole_material = BoxMaterial::aluminium;
  const FitResult result = fit_result(40, fit_named("H7/g6"), warmth);
  const double per_K = expansion_of(BoxMaterial::aluminium).per_K - expansion_of(BoxMaterial::steel).per_K;
  EXPECT_NEAR(result.growth_um, 40e3 * per_K * 60, 1e-9);
  EXPECT_NEAR(result.warm_least_um, result.least_um + result.growth_um, 1e-12);
}

TEST(PitchBind, TakesUpTheDowelsPlayBeforeItPresses) {
  const WarmHalf cold{BoxMaterial::aluminium, 20}, warm{BoxMaterial::aluminium, 60};
  const double growth = 500 * expansion_of(BoxMaterial::aluminium).per_K * 40;
  const PitchBind bind = pitch_bind(500, warm, cold, 0.05, 0.05);
  EXPECT_NEAR(bind.pitch_difference_mm, growth, 1e-12);
  EXPECT_NEAR(bind.bind_mm, growth - 0.05, 1e-12);
  EXPECT_EQ(pitch_bind(500, warm, warm, 0.05, 0.05).bind_mm, 0);
  EXPECT_EQ(pitch_bind(500, warm, cold, 0.5, 0.5).bind_mm, 0);
}

}  // namespace
}  // namespace boxfettle
