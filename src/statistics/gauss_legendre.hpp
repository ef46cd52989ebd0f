// Gauss-Legendre quadrature: for smooth integrands each further point about doubles the digits.
#pragma once

#include <cstddef>
#include <vector>

namespace boxfettle {

struct QuadraturePoint {
  double at, weight;
};
std::vector<QuadraturePoint> gauss_legendre(std::size_t points, double low, double high);

}  // namespace boxfettle
