// The parting face of a scanned half cut into square cells, and which of them are of the face.
#pragma once

#include <Eigen/Core>
#include <cstdint>
#include <span>
#include <vector>

#include "reading/flatness.hpp"
#include "reading/half_design.hpp"
#include "reading/surface_cells.hpp"

namespace boxfettle {

// Where dowels stand on the face: points this near are of the dowel or its edge.
struct DowelZone {
  Eigen::Vector2d at_mm, axis;
  double radius_mm, straight_mm;  // a slot's straight walls reach this far either way; 0 for a round one

  double distance_mm(const Eigen::Vector2d& p) const;
};
std::vector<DowelZone> dowel_zones(const CoreBox& box);

// Whether a place may be parting face at all: outside the outline with its rim, and off the dowels.
bool may_be_face(const HalfDesign& design, std::span<const DowelZone> dowels,
                 const Eigen::Vector2d& at_parting_mm);

// Squares over the seen face, in the parting face's axes. A square may be full, at the border of what was
// seen (the block's own edge may run through it), or empty.
class FaceCells {
 public:
  // `points`: those that may be face. Empty when there are too few.
  FaceCells(const HalfDesign& design, std::span<const DowelZone> dowels, std::span<const FacePoint> points);

  static constexpr std::uint32_t none = 0xffffffffu;

  double side_mm() const { return side_mm_; }
  std::size_t columns() const { return columns_; }
  std::size_t rows() const { return rows_; }
  bool holds(const Eigen::Vector2d& p) const;             // strays may lie beyond the grid
  std::size_t square_at(const Eigen::Vector2d& p) const;  // of a place it holds
  Eigen::Vector2d centre_mm(std::size_t square) const;
  bool seen(std::size_t square) const { return seen_[square]; }

  // The full squares as cells for finding patches in; cell_of_triangle is one entry per square, `none` where
  // the square is not full.
  const SurfaceCells& full() const { return full_; }
  const std::vector<std::uint32_t>& square_of_cell() const { return square_of_cell_; }
  double coverage_fraction() const { return coverage_fraction_; }

  // The squares round one, itself included, that lie in the grid.
  std::vector<std::size_t> around(std::size_t square) const;

 private:
  void lay_grid(std::span<const FacePoint> points);
  void tell_full(const HalfDesign& design, const std::vector<bool>& face);
  void measure_coverage(const std::vector<bool>& face);

  Eigen::Vector2d low_mm_ = Eigen::Vector2d::Zero();
  double side_mm_ = 1;
  std::size_t columns_ = 0, rows_ = 0;
  std::vector<bool> seen_;
  SurfaceCells full_;
  std::vector<std::uint32_t> square_of_cell_;
  double coverage_fraction_ = 0;
};

}  // namespace boxfettle
