// Gas through orifices and slits against closed forms worked out beside the program.
#include <gtest/gtest.h>

#include <cmath>

#include "flow/orifice_flow.hpp"
#include "flow/slit_flow.hpp"

namespace boxfettle {
namespace {

// Dry air's viscosity by Sutherland's law (constants from memory; U.S. Standard Atmosphere 1976), worked out
// with another program: 0, 20, 40, 100 degC.
TEST(Air, HasSutherlandsViscosity) {
  EXPECT_NEAR(viscosity_pa_s(273.15), 1.7161e-5, 5e-10);
  EXPECT_NEAR(viscosity_pa_s(293.15), 1.8134e-5, 5e-10);
  EXPECT_NEAR(viscosity_pa_s(313.15), 1.9076e-5, 5e-10);
  EXPECT_NEAR(viscosity_pa_s(373.15), 2.1734e-5, 5e-10);
}

// Critical ratio of an ideal nozzle at a heat ratio of 1.4: 0.528282.
TEST(OrificeFlow, ChokesAtThePublishedRatio) {
  EXPECT_NEAR(critical_pressure_ratio(), 0.528282, 5e-7);
}

// Ideal orifice, isentropic: choked m = Cd A p1 * 0.684731 / sqrt(R T1) for air, below that the usual form
// with r^(2/k) - r^((k+1)/k). Values worked out in Python from those forms, R 287.05, 293.15 K.
TEST(OrificeFlow, GivesTheIdealNozzlesMassFlow) {
  struct Case {
    double area_m2, discharge, before_pa, behind_pa, kg_s;
  };
  for (const Case& one : {Case{1e-6, 1, 7e5, 1e5, 1.652322e-3},
                          {1e-6, .65, 7e5, 1e5, 1.074009e-3},
                          {1e-6, .65, 1.5e5, 1e5, 2.201591e-4},
                          {1e-5, .8, 3e5, 2e5, 5.419301e-3},
                          {1e-5, .8, 1.1e5, 1e5, 1.228931e-3},
                          {1e-5, .61, 4e5, 1e5, 5.759521e-3}})
    EXPECT_NEAR(
        orifice_flow(one.area_m2 * one.discharge, one.before_pa, one.behind_pa, 293.15).mass_flow_kg_s,
        one.kg_s, 1e-6 * one.kg_s);
}

// Plane Poiseuille flow of an isothermal gas, m = w h^3 (p1^2 - p2^2) / (24 mu L R T) (H. Schlichting,
// "Boundary Layer Theory", plane channel; the isothermal integration is standard). Worked out in Python at 20
// degC. Only the rows in which that form is valid.
TEST(SlitFlow, OfNarrowGapsIsPlanePoiseuilleFlow) {
  struct Case {
    double width_m, height_m, length_m, before_pa, behind_pa, kg_s, reynolds, mach;
  };
  for (const Case& one : {Case{1, 2e-5, .03, 3e5, 1e5, 5.82512e-4, 64.2, .071},
                          {1, 5e-5, .03, 3e5, 1e5, 9.10175e-3, 1004, .446},
                          {1, 1e-4, .03, 1.05e5, 1e5, 9.32930e-4, 103, .023}}) {
    const SlitFlow leak =
        slit_flow({one.width_m, one.height_m, one.length_m}, one.before_pa, one.behind_pa, 293.15);
    EXPECT_EQ(leak.regime, SlitRegime::laminar);
    EXPECT_NEAR(leak.mass_flow_kg_s, one.kg_s, 2e-5 * one.kg_s);
    EXPECT_NEAR(leak.reynolds, one.reynolds, 0.5);
    EXPECT_NEAR(leak.outlet_mach, one.mach, 5e-4);
  }
}

// At 0.1 mm, 1 m and 3 bar the laminar form alone would give 7.2814e-2 kg/s at a mean outlet Mach number of
// 1.79: more than the opening passes as a choked nozzle, 7.0814e-2 kg/s.
TEST(SlitFlow, OfAWideGapStaysBelowTheChokedNozzle) {
  const SlitFlow leak = slit_flow({1, 1e-4, .03}, 3e5, 1e5, 293.15);
  EXPECT_LE(leak.mass_flow_kg_s, 7.0814e-2);
  EXPECT_NEAR(orifice_flow(1e-4, 3e5, 1e5, 293.15).mass_flow_kg_s, 7.0814e-2, 1e-6);
}

// Blasius (1913): f = 0.316 Re^(-1/4), here in its own form: the flow found must give back its pressure fall.
TEST(SlitFlow, OfATurbulentGapObeysBlasius) {
  const double width_m = 1, height_m = 5e-4, length_m = .5, before_pa = 1.3e5, behind_pa = 1e5;
  const SlitFlow leak = slit_flow({width_m, height_m, length_m}, before_pa, behind_pa, 293.15);
  ASSERT_EQ(leak.regime, SlitRegime::turbulent);
  const double friction = 0.316 / std::pow(leak.reynolds, 0.25);
  const double flux = leak.mass_flow_kg_s / (width_m * height_m);
  EXPECT_NEAR(friction * length_m / (2 * height_m) * flux * flux * 287.05 * 293.15,
              before_pa * before_pa - behind_pa * behind_pa, 1);
}

}  // namespace
}  // namespace boxfettle
