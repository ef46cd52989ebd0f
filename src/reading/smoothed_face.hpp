// A face smoothed over a few mm, so that noise of single points does not pass for form.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <span>
#include <vector>

#include "reading/face_cells.hpp"
#include "reading/face_form.hpp"
#include "reading/flatness.hpp"

namespace boxfettle {

// A plane through the points of three by three squares, taken at the corners of the middle square's own
// points: an even slope is neither rounded off inside nor cut short at the border. Only full squares are
// taken: at the block's own edge its sides would be taken for its face. Squares with `left_out` give no
// place, nor do corners that the points tell much worse than others: they alone would be the extremes.
class SmoothedFace {
 public:
  SmoothedFace(const FaceCells& cells, std::span<const FacePoint> points, const std::vector<bool>& left_out);

  const std::vector<FacePoint>& places() const { return places_; }

  // Noise of single points (one standard deviation), by how far planes through two halves of the points,
  // which share none, differ.
  double noise_mm() const { return noise_mm_; }
  double standard_error_mm(std::size_t place) const { return noise_mm_ * per_noise_[place]; }

  // What noise of that size in every point makes of the places' heights: the same for the same draw.
  std::vector<double> drawn_noise_mm(std::uint64_t draw) const;

 private:
  // A square that gives places: the squares its plane is laid through, and the plane's terms at its places.
  struct Plane {
    std::vector<std::uint32_t> through;
    Eigen::Matrix3d inverse;
    std::vector<Eigen::Vector3d> place_terms;
  };

  void keep_well_told();

  std::vector<FacePoint> places_;  // plane by plane
  std::vector<double> per_noise_;  // standard error over the noise of single points
  std::vector<Plane> planes_;
  std::vector<Eigen::Matrix3d> spread_;  // of each square's sums under noise of one: a square root of it
  double noise_mm_ = 0;
};

// Flatness with what is known of its uncertainty: what the places show less what noise adds to it. Peak to
// valley seeks the extremes, so noise makes it too large. How much too large is found by adding drawn noise
// to the face as it probably is (bias by the parametric bootstrap: Efron and Tibshirani, An Introduction to
// the Bootstrap, 1993, chapter 10; chapter from memory).
struct Flatness {
  double least_squares_mm = 0, minimum_zone_mm = 0, u95_mm = 0;
};
Flatness flatness(const SmoothedFace& face, const FaceForm& form, double drift_mm);

}  // namespace boxfettle
