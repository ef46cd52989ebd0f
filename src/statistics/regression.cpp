#include "statistics/regression.hpp"

#include <Eigen/QR>
#include <cmath>

#include "statistics/distributions.hpp"

namespace boxfettle {
namespace {

// A model with a constant has a column that does not change.
bool has_constant(const Eigen::MatrixXd& design) {
  for (Eigen::Index j = 0; j < design.cols(); ++j)
    if ((design.col(j).array() == design(0, j)).all() && design(0, j) != 0) return true;
  return false;
}

double squares_about(const Eigen::VectorXd& values, const Eigen::VectorXd& weights, bool mean) {
  const double centre = mean ? values.dot(weights) / weights.sum() : 0;
  return (values.array() - centre).square().matrix().dot(weights);
}

}  // namespace

double Regression::coefficient_sd(Eigen::Index i) const {
  return residual_sd * std::sqrt(inverse(i, i));
}

double Regression::prediction_reach(const Eigen::VectorXd& at, double confidence) const {
  return t_quantile(0.5 + 0.5 * confidence, degrees) * residual_sd * std::sqrt(1 + at.dot(inverse * at));
}

std::optional<Regression> regression(const Eigen::MatrixXd& design, const Eigen::VectorXd& values,
                                     const Eigen::VectorXd& weights) {
  if (design.rows() <= design.cols()) return std::nullopt;
  const Eigen::VectorXd weight = weights.size() > 0 ? weights : Eigen::VectorXd::Ones(values.size());
  const Eigen::VectorXd root = weight.cwiseSqrt();
  Eigen::MatrixXd scaled = root.asDiagonal() * design;
  const Eigen::VectorXd lengths = scaled.colwise().norm();
  if (!(lengths.minCoeff() > 0)) return std::nullopt;
  scaled = scaled * lengths.cwiseInverse().asDiagonal();
  Eigen::ColPivHouseholderQR<Eigen::MatrixXd> triangles(scaled);
  triangles.setThreshold(1e-15);  // hard published cases have columns alike to fourteen digits
  if (triangles.rank() < design.cols()) return std::nullopt;
  const Eigen::VectorXd weighted = root.cwiseProduct(values);
  Eigen::VectorXd solution = triangles.solve(weighted);
  solution +=
      triangles.solve(weighted - scaled * solution);  // takes back what the first pass lost to rounding

  Regression fit;
  fit.coefficients = solution.cwiseQuotient(lengths);
  const Eigen::MatrixXd upper = triangles.matrixQR().topRows(design.cols()).triangularView<Eigen::Upper>();
  const Eigen::MatrixXd inverse_upper =
      upper.triangularView<Eigen::Upper>().solve(Eigen::MatrixXd::Identity(design.cols(), design.cols()));
  const Eigen::MatrixXd unpivoted = triangles.colsPermutation() * inverse_upper;
  const Eigen::MatrixXd rescaled = lengths.cwiseInverse().asDiagonal() * unpivoted;
  fit.inverse = rescaled * rescaled.transpose();
  fit.degrees = static_cast<double>(design.rows() - design.cols());
  const double left = (weighted - scaled * solution).squaredNorm();
  fit.residual_sd = std::sqrt(left / fit.degrees);
  const double all = squares_about(values, weight, has_constant(design));
  fit.r_squared = all > 0 ? 1 - left / all : 1;
  return fit;
}

}  // namespace boxfettle
