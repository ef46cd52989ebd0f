// Random numbers that are the same on every platform. The standard library fixes the engine's bits but leaves
// what its distributions make of them to each implementation; these make it from the bits.
#pragma once

#include <Eigen/Geometry>
#include <cstdint>
#include <random>

namespace boxfettle::demo {

class Dice {
 public:
  // Streams of one seed are independent of each other.
  explicit Dice(std::uint64_t seed, std::uint64_t stream = 0);

  double uniform();  // [0, 1)
  double uniform(double low, double high);
  double normal();                           // mean 0, standard deviation 1
  std::uint64_t below(std::uint64_t count);  // 0 .. count - 1
  Eigen::Vector3d direction();               // unit, even over the sphere
  Eigen::Matrix3d rotation();                // even over all rotations

 private:
  std::mt19937_64 engine_;
};

}  // namespace boxfettle::demo
