#include "venting/air_pockets.hpp"

#include <algorithm>
#include <numeric>

namespace boxfettle {
namespace {

std::vector<std::uint32_t> full_cells(const CutCells& cavity) {
  std::vector<std::uint32_t> cells;
  for (std::uint32_t c = 0; c < cavity.volume.size(); ++c)
    if (cavity.volume[c] > 0) cells.push_back(c);
  return cells;
}

// Parts of the cavity above the sinking level, joined as they meet.
class AirSpaces {
 public:
  AirSpaces(const CutCells& cavity, const std::vector<std::uint32_t>& vent_cells,
            const std::vector<double>& height_mm, const PocketSettings& settings)
      : cavity_(cavity),
        height_mm_(height_mm),
        least_depth_mm_(settings.least_depth_voxels * cavity.lattice.voxel_mm),
        parent_(height_mm.size()),
        top_(height_mm.size()),
        cells_(height_mm.size(), 0.0),
        vented_(height_mm.size(), 0),
        seen_(height_mm.size(), 0) {
    for (const std::uint32_t c : vent_cells) vented_[c] = 1;
    std::iota(parent_.begin(), parent_.end(), 0u);
    top_ = parent_;
  }

  void add(std::uint32_t cell) {
    seen_[cell] = 1;
    cells_[cell] = static_cast<double>(cavity_.volume[cell]);
    for (const StripGrid::Face& face : cavity_.grid.faces(cell))
      if (cavity_.aperture[static_cast<std::size_t>(face.axis)][face.holder] > 0 && seen_[face.other] != 0)
        join(cell, face.other, height_mm_[cell]);
  }

  // What is left without a vent when everything has been added is shut in altogether.
  void close(double level_mm) {
    for (std::uint32_t c = 0; c < parent_.size(); ++c)
      if (seen_[c] != 0 && root(c) == c && vented_[c] == 0) drown(c, level_mm);
  }

  std::vector<AirPocket> pockets;

 private:
  std::uint32_t root(std::uint32_t cell) {
    while (parent_[cell] != cell) cell = parent_[cell] = parent_[parent_[cell]];
    return cell;
  }

  void join(std::uint32_t one, std::uint32_t two, double level_mm) {
    std::uint32_t a = root(one), b = root(two);
    if (a == b) return;
    if (height_mm_[top_[a]] < height_mm_[top_[b]]) std::swap(a, b);
    if (vented_[a] != vented_[b]) drown(vented_[a] != 0 ? b : a, level_mm);
    parent_[b] = a;
    cells_[a] += cells_[b];
    vented_[a] = vented_[a] != 0 || vented_[b] != 0;
  }

  void drown(std::uint32_t space, double level_mm) {
    const double depth = height_mm_[top_[space]] - level_mm;
    if (depth < least_depth_mm_) return;
    const double voxel = cavity_.lattice.voxel_mm;
    pockets.push_back({cavity_.lattice.centre_mm(cavity_.grid.place(top_[space])),
                       cells_[space] * voxel * voxel * voxel, depth, 0});
  }

  const CutCells& cavity_;
  const std::vector<double>& height_mm_;
  double least_depth_mm_;
  std::vector<std::uint32_t> parent_, top_;
  std::vector<double> cells_;
  std::vector<char> vented_, seen_;
};

}  // namespace

std::vector<AirPocket> air_pockets(const CutCells& cavity, const std::vector<std::uint32_t>& vent_cells,
                                   const Eigen::Vector3d& up, const PocketSettings& settings) {
  std::vector<std::uint32_t> order = full_cells(cavity);
  std::vector<double> height_mm(cavity.volume.size(), 0.0);
  for (const std::uint32_t c : order) height_mm[c] = up.dot(cavity.lattice.centre_mm(cavity.grid.place(c)));
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    return height_mm[a] > height_mm[b] || (height_mm[a] == height_mm[b] && a < b);
  });
  AirSpaces spaces(cavity, vent_cells, height_mm, settings);
  for (const std::uint32_t c : order) spaces.add(c);
  if (!order.empty()) spaces.close(height_mm[order.back()]);
  std::vector<AirPocket> pockets = std::move(spaces.pockets);
  std::stable_sort(pockets.begin(), pockets.end(), [&](const AirPocket& a, const AirPocket& b) {
    return up.dot(a.where_mm) > up.dot(b.where_mm);
  });
  for (std::size_t i = 0; i < pockets.size(); ++i) pockets[i].fills_last_rank = static_cast<int>(i + 1);
  return pockets;
}

std::vector<double> fill_shares(const CutCells& cavity, const Eigen::Vector3d& up,
                                const std::vector<double>& heights_mm) {
  std::vector<double> below(heights_mm.size(), 0.0);
  double all = 0;
  for (const std::uint32_t c : full_cells(cavity)) {
    const double height = up.dot(cavity.lattice.centre_mm(cavity.grid.place(c)));
    const auto volume = static_cast<double>(cavity.volume[c]);
    all += volume;
    for (std::size_t i = 0; i < heights_mm.size(); ++i)
      if (height < heights_mm[i]) below[i] += volume;
  }
  for (double& share : below) share /= std::max(all, 1e-300);
  return below;
}

}  // namespace boxfettle
