// A face smoothed over a few mm, so that noise of single points does not pass for form.
#pragma once

#include <span>
#include <vector>

#include "reading/face_cells.hpp"
#include "reading/flatness.hpp"

namespace boxfettle {

// The same places three times: from all points, and from two halves of them that share none. Flatness chosen
// on one half and measured on the other has no noise in it to choose.
struct SmoothedFace {
  std::vector<FacePoint> all, odd, even;
  std::vector<double> standard_error_mm;  // of `all`, from the noise of single points
};

// A plane through the points of three by three squares, taken at the corners of the middle square's own
// points: an even slope is neither rounded off inside nor cut short at the border. Only full squares are
// taken: at the block's own edge its sides would be taken for its face. Squares with `left_out` give no
// place.
SmoothedFace smoothed_face(const FaceCells& cells, std::span<const FacePoint> points,
                           const std::vector<bool>& left_out, double noise_mm);

// Flatness with what is known of its uncertainty: between what all points show, which noise makes too large,
// and what one half shows at the places the other half chose, which chance makes too small.
struct Flatness {
  double least_squares_mm = 0, minimum_zone_mm = 0, u95_mm = 0;
};
Flatness flatness(const SmoothedFace& face, double drift_mm);

}  // namespace boxfettle
