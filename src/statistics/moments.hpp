// Count, mean and scatter of many values in one pass, or grown value by value.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

namespace boxfettle {

class Moments {
 public:
  Moments() = default;
  // Blocks that fit the nearest cache are summed twice, the second time about their own mean, and then put
  // together: exact to the data's own digits where sums of squares would lose all of them. T. F. Chan,
  // G. H. Golub and R. J. LeVeque, "Algorithms for Computing the Sample Variance", Am. Stat. 37 (1983).
  explicit Moments(std::span<const double> values);

  void add(double value);  // constant time
  void add(const Moments& other);

  std::size_t count() const { return count_; }
  double mean() const { return origin_ + offset_; }  // 0 when there is no value
  std::optional<double> sd() const;                  // of a sample; needs two values
  double squares() const { return squares_; }        // sum of squares about the mean

 private:
  std::size_t count_ = 0;
  double origin_ = 0;  // near the values, so that the mean is kept to its last digit beside it
  double offset_ = 0, squares_ = 0;
};

}  // namespace boxfettle
