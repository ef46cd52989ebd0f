#include "closing/clamping.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>

namespace boxfettle {
namespace {

using Eigen::Vector2d;

// ISO 898-1:2013, table 3, stress under proof load in MPa; seen second-hand, 5.6 from memory.
struct ClassRow {
  std::string_view name;
  double to_16_mm, above_mpa;
};
constexpr std::array<ClassRow, 9> classes{{{"4.6", 225, 225},
                                           {"4.8", 310, 310},
                                           {"5.6", 280, 280},
                                           {"5.8", 380, 380},
                                           {"6.8", 440, 440},
                                           {"8.8", 580, 600},
                                           {"9.8", 650, 650},
                                           {"10.9", 830, 830},
                                           {"12.9", 970, 970}}};

// ISO 262 coarse pitches (from memory; stress areas agree with a public table from M6 to M24).
struct PitchRow {
  double diameter_mm, pitch_mm;
};
constexpr std::array<PitchRow, 21> coarse{{{3, 0.5},   {4, 0.7}, {5, 0.8},  {6, 1},    {8, 1.25}, {10, 1.5},
                                           {12, 1.75}, {14, 2},  {16, 2},   {18, 2.5}, {20, 2.5}, {22, 2.5},
                                           {24, 3},    {27, 3},  {30, 3.5}, {33, 3.5}, {36, 4},   {39, 4},
                                           {42, 4.5},  {48, 5},  {56, 5.5}}};

std::optional<double> number(std::string_view text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !(value > 0)) return std::nullopt;
  return value;
}

ClampForce force_of(const Clamp& clamp, const Tightening& tightening, std::vector<std::string>& notes) {
  ClampForce force{clamp.id, clamp.at_parting_mm, 0, 0, 0, {}};
  if (clamp.kind == Clamp::Kind::toggle) {
    force.force_N = force.low_N = force.high_N = clamp.force_N;
    return force;
  }
  const auto thread = thread_named(clamp.thread);
  if (!thread) {
    notes.push_back("The pitch of " + clamp.thread + " (clamp " + clamp.id +
                    ") is not known: its pull cannot be told and counts as nothing.");
    return force;
  }
  // T = K d F, d the nominal diameter.
  force.force_N = clamp.torque_Nm / (tightening.nut_factor * thread->diameter_mm / 1000);
  force.low_N = force.force_N * (1 - tightening.scatter);
  force.high_N = force.force_N * (1 + tightening.scatter);
  if (const auto stress = proof_stress_mpa(clamp.strength_class, thread->diameter_mm))
    force.proof_share = force.force_N / (*stress * thread->stress_area_mm2());
  return force;
}

// The least loads that balance the opening force and its moments about both axes.
bool share_load(Clamping& clamping, const Vector2d& centroid_mm) {
  const auto count = static_cast<double>(clamping.clamps.size());
  Vector2d middle = Vector2d::Zero();
  for (const ClampForce& clamp : clamping.clamps) middle += clamp.at_parting_mm / count;
  Eigen::Matrix2d spread = Eigen::Matrix2d::Zero();
  for (const ClampForce& clamp : clamping.clamps) {
    const Vector2d r = clamp.at_parting_mm - middle;
    spread += r * r.transpose();
  }
  const double trace = spread.trace();
  if (!(spread.determinant() > 1e-6 * trace * trace)) return false;
  const Vector2d lever = spread.inverse() * (centroid_mm - middle);
  for (ClampForce& clamp : clamping.clamps)
    clamp.load_N = clamping.opening_N * (1 / count + lever.dot(clamp.at_parting_mm - middle));
  return true;
}

}  // namespace

std::optional<double> proof_stress_mpa(std::string_view strength_class, double diameter_mm) {
  for (const ClassRow& row : classes)
    if (row.name == strength_class) return diameter_mm > 16 ? row.above_mpa : row.to_16_mm;
  return std::nullopt;
}

double Thread::stress_area_mm2() const {
  const double d = diameter_mm - 0.9382 * pitch_mm;
  return std::numbers::pi / 4 * d * d;
}

std::optional<Thread> thread_named(std::string_view text) {
  if (!text.starts_with('M')) return std::nullopt;
  text.remove_prefix(1);
  const std::size_t cross = std::min(text.find('x'), text.size());
  const auto diameter = number(text.substr(0, cross));
  if (!diameter) return std::nullopt;
  if (cross < text.size()) {
    const auto pitch = number(text.substr(cross + 1));
    if (!pitch || *pitch > 0.5 * *diameter) return std::nullopt;
    return Thread{*diameter, *pitch};
  }
  for (const PitchRow& row : coarse)
    if (row.diameter_mm == *diameter) return Thread{row.diameter_mm, row.pitch_mm};
  return std::nullopt;
}

Clamping clamping(std::span<const Clamp> clamps, double pressure_pa, double projected_area_mm2,
                  const Vector2d& centroid_mm, const Tightening& tightening) {
  Clamping result;
  result.opening_N = pressure_pa * projected_area_mm2 * 1e-6;
  for (const Clamp& clamp : clamps) {
    result.clamps.push_back(force_of(clamp, tightening, result.notes));
    result.force_N += result.clamps.back().force_N;
    result.low_N += result.clamps.back().low_N;
  }
  if (result.clamps.empty() || !(result.opening_N > 0)) return result;
  result.margin = result.force_N / result.opening_N;
  result.margin_low = result.low_N / result.opening_N;
  result.load_shared = share_load(result, centroid_mm);
  if (!result.load_shared) {
    result.notes.emplace_back(
        "The clamps stand in one line or in one place: how they share the load cannot be told from where "
        "they stand.");
    return result;
  }
  for (std::size_t i = 0; i < result.clamps.size(); ++i) {
    ClampForce& clamp = result.clamps[i];
    if (!(clamp.load_N > 0)) continue;  // pulled shut by the others
    clamp.margin = clamp.force_N / clamp.load_N;
    if (!result.slack_first || clamp.margin < result.clamps[*result.slack_first].margin)
      result.slack_first = i;
  }
  return result;
}

}  // namespace boxfettle
