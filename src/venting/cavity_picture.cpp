#include "venting/cavity_picture.hpp"

#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

using Eigen::Vector3d;

CavityPicture empty_picture(const Lattice& lattice, std::size_t most_cells) {
  const double all = static_cast<double>(lattice.cells[0]) * lattice.cells[1] * lattice.cells[2];
  const int times =
      std::max(1, static_cast<int>(std::ceil(std::cbrt(all / static_cast<double>(most_cells)) - 1e-9)));
  CavityPicture picture;
  picture.cell_mm = times * lattice.voxel_mm;
  // One cell more all round, for what stands beside the cavity.
  picture.low_mm = lattice.low_mm - Vector3d::Constant(picture.cell_mm);
  for (std::size_t k = 0; k < 3; ++k) picture.cells[k] = (lattice.cells[k] + times - 1) / times + 2;
  const std::size_t count = static_cast<std::size_t>(picture.cells[0]) *
                            static_cast<std::size_t>(picture.cells[1]) *
                            static_cast<std::size_t>(picture.cells[2]);
  picture.inside.assign(count, 0.0f);
  picture.age_s.assign(count, 0.0f);
  picture.fills_at.assign(count, 0.0f);
  picture.in_pocket.assign(count, 0);
  return picture;
}

std::size_t index_of(const CavityPicture& picture, const Vector3d& at_mm) {
  std::size_t index = 0;
  for (std::size_t k = 3; k-- > 0;) {
    const double along =
        (at_mm[static_cast<Eigen::Index>(k)] - picture.low_mm[static_cast<Eigen::Index>(k)]) /
        picture.cell_mm;
    const int place = std::clamp(static_cast<int>(std::floor(along)), 0, picture.cells[k] - 1);
    index = index * static_cast<std::size_t>(picture.cells[k]) + static_cast<std::size_t>(place);
  }
  return index;
}

// The cells of a pocket: from its top through whatever lies above the level it drowns at.
void mark_pocket(const CutCells& cavity, const AirPocket& pocket, const Vector3d& up,
                 std::vector<char>& marked) {
  const auto top = cavity.lattice.place_of(pocket.where_mm);
  std::vector<std::uint32_t> cells{cavity.grid.cell(top[0], top[1], top[2])};
  if (cells[0] == StripGrid::no_cell) return;
  const double level = up.dot(pocket.where_mm) - pocket.depth_mm;
  marked[cells[0]] = 1;
  for (std::size_t i = 0; i < cells.size(); ++i)
    for (const StripGrid::Face& face : cavity.grid.faces(cells[i])) {
      if (cavity.aperture[static_cast<std::size_t>(face.axis)][face.holder] == 0 || marked[face.other] != 0)
        continue;
      if (up.dot(cavity.lattice.centre_mm(cavity.grid.place(face.other))) <= level) continue;
      marked[face.other] = 1;
      cells.push_back(face.other);
    }
}

// The share of the cavity below each of many levels; between them, in proportion.
class Filling {
 public:
  Filling(const CutCells& cavity, const Vector3d& up) : up_(up) {
    double low = 1e300, high = -1e300;
    for (std::uint32_t c = 0; c < cavity.volume.size(); ++c) {
      if (cavity.volume[c] == 0) continue;
      const double height = up.dot(cavity.lattice.centre_mm(cavity.grid.place(c)));
      low = std::min(low, height);
      high = std::max(high, height);
    }
    low_ = low;
    step_ = std::max((high - low) / levels, 1e-9);
    std::vector<double> heights;
    for (int i = 0; i <= levels; ++i) heights.push_back(low + i * step_);
    shares_ = fill_shares(cavity, up, heights);
  }
  double share_at(const Vector3d& at_mm) const {
    const double level = std::clamp((up_.dot(at_mm) - low_) / step_, 0.0, levels - 1e-9);
    const auto below = static_cast<std::size_t>(level);
    return shares_[below] + (level - static_cast<double>(below)) * (shares_[below + 1] - shares_[below]);
  }

 private:
  static constexpr int levels = 200;
  Vector3d up_;
  double low_ = 0, step_ = 1;
  std::vector<double> shares_;
};

// Cells without a value take the mean of those around them that have one, twice.
void spread_outwards(CavityPicture& picture, std::vector<char> has_value) {
  const std::array<std::ptrdiff_t, 3> stride{
      1, picture.cells[0], static_cast<std::ptrdiff_t>(picture.cells[0]) * picture.cells[1]};
  for (int round = 0; round < 2; ++round) {
    const std::vector<char> before = has_value;
    for (int z = 0; z < picture.cells[2]; ++z)
      for (int y = 0; y < picture.cells[1]; ++y)
        for (int x = 0; x < picture.cells[0]; ++x) {
          const std::ptrdiff_t at = x + y * stride[1] + z * stride[2];
          if (before[static_cast<std::size_t>(at)] != 0) continue;
          const std::array<int, 3> place{x, y, z};
          double age = 0, fills = 0;
          int around = 0, pockets = 0;
          for (std::size_t k = 0; k < 3; ++k)
            for (const int way : {-1, 1}) {
              if (place[k] + way < 0 || place[k] + way >= picture.cells[k]) continue;
              const auto other = static_cast<std::size_t>(at + way * stride[k]);
              if (before[other] == 0) continue;
              ++around;
              age += static_cast<double>(picture.age_s[other]);
              fills += static_cast<double>(picture.fills_at[other]);
              pockets += picture.in_pocket[other];
            }
          if (around == 0) continue;
          const auto here = static_cast<std::size_t>(at);
          picture.age_s[here] = static_cast<float>(age / around);
          picture.fills_at[here] = static_cast<float>(fills / around);
          picture.in_pocket[here] = 2 * pockets > around;
          has_value[here] = 1;
        }
  }
}

}  // namespace

CavityPicture cavity_picture(const GasFlow& flow, const Residence& ages,
                             const std::vector<AirPocket>& pockets, const Vector3d& up,
                             std::size_t most_cells) {
  const CutCells& cavity = flow.cavity();
  CavityPicture picture = empty_picture(cavity.lattice, most_cells);
  std::vector<char> marked(cavity.volume.size(), 0);
  for (const AirPocket& pocket : pockets) mark_pocket(cavity, pocket, up, marked);
  const Filling filling(cavity, up);
  const double part = std::pow(cavity.lattice.voxel_mm / picture.cell_mm, 3);
  std::vector<double> age(picture.count(), 0.0), fills(picture.count(), 0.0), pocket(picture.count(), 0.0);
  for (const std::uint32_t c : flow.cells()) {
    const Vector3d centre = cavity.lattice.centre_mm(cavity.grid.place(c));
    const std::size_t at = index_of(picture, centre);
    const double volume = part * static_cast<double>(cavity.volume[c]);
    picture.inside[at] += static_cast<float>(volume);
    age[at] += volume * std::log(std::max(ages.age_s[c], 1e-9));
    fills[at] += volume * filling.share_at(centre);
    pocket[at] += volume * marked[c];
  }
  std::vector<char> has_value(picture.count(), 0);
  for (std::size_t i = 0; i < picture.count(); ++i) {
    const auto volume = static_cast<double>(picture.inside[i]);
    if (volume <= 0) continue;
    has_value[i] = 1;
    picture.age_s[i] = static_cast<float>(std::exp(age[i] / volume));
    picture.fills_at[i] = static_cast<float>(fills[i] / volume);
    picture.in_pocket[i] = 2 * pocket[i] > volume;
  }
  spread_outwards(picture, std::move(has_value));
  return picture;
}

}  // namespace boxfettle
