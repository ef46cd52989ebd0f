// For sources compiled once per kind of processor by Highway: include this before its headers. Vectors stand in
// structs and arrays there, which SVE's, having no size at compile time, cannot. ARM64 uses NEON.
#pragma once

#define HWY_DISABLED_TARGETS (HWY_SVE | HWY_SVE2 | HWY_SVE_256 | HWY_SVE2_128)
