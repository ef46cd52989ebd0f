#include "closing/gap_field.hpp"

#include <Eigen/Cholesky>
#include <Eigen/QR>
#include <algorithm>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace boxfettle {
namespace {

using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::VectorXd;

constexpr Eigen::Index plane_terms = 3, warp_terms = 6;

VectorXd terms_at(const Vector2d& p, Eigen::Index count) {
  VectorXd terms(count);
  terms.head(3) << 1, p.x(), p.y();
  if (count == warp_terms) terms.tail(3) << p.x() * p.x(), p.x() * p.y(), p.y() * p.y();
  return terms;
}

struct Fitted {
  VectorXd coefficients;
  MatrixXd inverse;  // of the normal matrix
  double squares;    // residual
  bool sound;        // the readings' places determine it
};

Fitted least_squares(const std::vector<Vector2d>& places, const VectorXd& openings, Eigen::Index count) {
  MatrixXd design(openings.size(), count);
  for (Eigen::Index i = 0; i < openings.size(); ++i)
    design.row(i) = terms_at(places[static_cast<std::size_t>(i)], count).transpose();
  const Eigen::ColPivHouseholderQR<MatrixXd> qr(design);
  const auto diagonal = qr.matrixR().diagonal().cwiseAbs();
  Fitted fitted{qr.solve(openings), {}, 0, diagonal.minCoeff() > 0.02 * diagonal.maxCoeff()};
  fitted.squares = (openings - design * fitted.coefficients).squaredNorm();
  if (fitted.sound)
    fitted.inverse = (design.transpose() * design).ldlt().solve(MatrixXd::Identity(count, count));
  return fitted;
}

// Whether three further terms pay: the F test of nested models.
bool warp_shows(const Fitted& plane, const Fitted& warp, Eigen::Index readings, double leaf_variance,
                double significance) {
  const double freedom = static_cast<double>(readings - warp_terms);
  if (!warp.sound || freedom < 1) return false;
  const double gain = (plane.squares - warp.squares) / static_cast<double>(warp_terms - plane_terms);
  // Openings finer than the leaves tell nothing, however well they happen to agree.
  const double noise = std::max(warp.squares / freedom, leaf_variance);
  const boost::math::fisher_f_distribution<double> chance(warp_terms - plane_terms, freedom);
  return gain / noise > boost::math::quantile(complement(chance, significance));
}

}  // namespace

GapField::GapField(std::span<const FeelerReading> readings, const FeelerSettings& settings) {
  const auto count = static_cast<Eigen::Index>(readings.size());
  if (count < plane_terms) {
    why_not_ = "fewer than three feeler readings: neither tilt nor the opening between them can be told";
    return;
  }
  for (const FeelerReading& reading : readings) middle_ += reading.at_parting_mm / static_cast<double>(count);
  for (const FeelerReading& reading : readings)
    scale_ = std::max(scale_, (reading.at_parting_mm - middle_).norm());
  std::vector<Vector2d> places;
  VectorXd openings(count);
  for (const FeelerReading& reading : readings) {
    openings(static_cast<Eigen::Index>(places.size())) = reading.opening_mm;
    places.emplace_back((reading.at_parting_mm - middle_) / scale_);
  }
  const Fitted plane = least_squares(places, openings, plane_terms);
  if (!plane.sound) {
    why_not_ = "the feeler readings stand in one line: the tilt across it cannot be told";
    return;
  }
  told_ = true;
  const double leaf_variance = settings.leaf_step_mm * settings.leaf_step_mm / 12;
  const Fitted warp = least_squares(places, openings, warp_terms);
  warped_ = warp_shows(plane, warp, count, leaf_variance, settings.warp_significance);
  const Fitted& chosen = warped_ ? warp : plane;
  fitted_ = chosen.coefficients;
  const double freedom = static_cast<double>(count - fitted_.size());
  const double variance = std::max(freedom > 0 ? chosen.squares / freedom : 0.0, leaf_variance);
  scatter_mm_ = std::sqrt(variance);
  covariance_ = variance * chosen.inverse;
  // When the leaves alone speak, their spread is known and the normal distribution serves.
  quantile_ = freedom > 0 && variance > leaf_variance
                  ? boost::math::quantile(boost::math::students_t(freedom), 0.975)
                  : boost::math::quantile(boost::math::normal(), 0.975);
  const Eigen::Vector3d at_middle = plane.coefficients;
  plane_.tail<2>() = at_middle.tail<2>() / scale_;
  plane_(0) = at_middle(0) - plane_.tail<2>().dot(middle_);
  if (warped_)
    for (const Vector2d& place : places)
      warp_mm_ = std::max(warp_mm_, std::abs(terms_at(place, warp_terms).dot(warp.coefficients) -
                                             terms_at(place, plane_terms).dot(plane.coefficients)));
}

VectorXd GapField::terms(const Vector2d& place_mm) const {
  return terms_at((place_mm - middle_) / scale_, fitted_.size());
}

double GapField::opening_mm(const Vector2d& place_mm) const {
  return terms(place_mm).dot(fitted_);
}

double GapField::u95_mm(const Vector2d& place_mm) const {
  const VectorXd t = terms(place_mm);
  return quantile_ * std::sqrt(t.dot(covariance_ * t));
}

}  // namespace boxfettle
