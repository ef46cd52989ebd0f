#include "demo/dice.hpp"

#include <cmath>
#include <numbers>

namespace boxfettle::demo {
namespace {

// Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014: the mixing step of
// SplitMix64.
std::uint64_t mixed(std::uint64_t z) {
  z += 0x9e3779b97f4a7c15u;
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
  return z ^ (z >> 31);
}

}  // namespace

Dice::Dice(std::uint64_t seed, std::uint64_t stream) : engine_(mixed(mixed(seed) ^ stream)) {}

double Dice::uniform() {
  return static_cast<double>(engine_() >> 11) * 0x1p-53;
}

double Dice::uniform(double low, double high) {
  return low + (high - low) * uniform();
}

// Box and Muller, 1958. 1 - uniform() is never 0.
double Dice::normal() {
  const double reach = std::sqrt(-2 * std::log(1 - uniform()));
  return reach * std::cos(2 * std::numbers::pi * uniform());
}

std::uint64_t Dice::below(std::uint64_t count) {
  return static_cast<std::uint64_t>(uniform() * static_cast<double>(count));
}

Eigen::Vector3d Dice::direction() {
  Eigen::Vector3d way;
  for (int axis = 0; axis < 3; ++axis) way[axis] = normal();
  return way.normalized();
}

Eigen::Matrix3d Dice::rotation() {
  Eigen::Vector4d part;
  for (int i = 0; i < 4; ++i) part[i] = normal();
  part.normalize();
  return Eigen::Quaterniond(part[0], part[1], part[2], part[3]).toRotationMatrix();
}

}  // namespace boxfettle::demo
