// Straight lines and other linear models through measured points, by least squares.
#pragma once

#include <Eigen/Core>
#include <optional>

namespace boxfettle {

struct Regression {
  Eigen::VectorXd coefficients;
  Eigen::MatrixXd inverse;  // (X' W X)^-1: times residual_sd^2 it is the coefficients' covariance
  double residual_sd = 0;   // of a point of weight 1
  double degrees = 0;       // of freedom
  double r_squared = 0;     // about the mean when the model has a constant, else about zero
  double coefficient_sd(Eigen::Index i) const;
  double predicted(const Eigen::VectorXd& at) const { return coefficients.dot(at); }
  // Half the width of the interval that holds one more point of weight 1 with this confidence.
  double prediction_reach(const Eigen::VectorXd& at, double confidence) const;
};

// One row of `design` a point; weights are inverse variances up to a factor, empty for all alike. Solved by
// orthogonal triangles on columns of equal length. Empty when the columns do not tell the coefficients apart
// or no degree of freedom is left.
std::optional<Regression> regression(const Eigen::MatrixXd& design, const Eigen::VectorXd& values,
                                     const Eigen::VectorXd& weights = {});

}  // namespace boxfettle
