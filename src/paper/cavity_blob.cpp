#include "paper/cavity_blob.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "paper/blob_bytes.hpp"

namespace boxfettle {
namespace {

struct AgeRange {
  float low, high;

  std::uint8_t code(float age_s) const {
    const float share = std::log(std::max(age_s, low) / low) / std::log(high / low);
    return static_cast<std::uint8_t>(std::lround(255 * std::clamp(share, 0.0f, 1.0f)));
  }
};

// All ages but the youngest and oldest hundredth: dead corners would otherwise take up the whole scale.
AgeRange age_range(const CavityPicture& picture) {
  std::vector<float> ages;
  for (std::size_t i = 0; i < picture.count(); ++i)
    if (picture.inside[i] > 0.5f) ages.push_back(picture.age_s[i]);
  if (ages.empty()) return {0.01f, 1};
  const auto at = [&](double share) {
    const auto place =
        ages.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(ages.size() - 1));
    std::nth_element(ages.begin(), place, ages.end());
    return *place;
  };
  const float low = std::max(at(0.01), 1e-6f);
  return {low, std::max(at(0.99), 1.01f * low)};
}

std::uint8_t part(float share) {
  return static_cast<std::uint8_t>(std::lround(255 * std::clamp(share, 0.0f, 1.0f)));
}

}  // namespace

std::vector<std::byte> cavity_blob(const TriangleMesh& design, const CavityPicture& picture) {
  check_countable(design);
  std::vector<std::byte> blob;
  blob.reserve(48 + 12 * (design.vertices.size() + design.triangles.size()) + 4 * picture.count());
  for (const char letter : {'B', 'F', 'A', '1'}) append_bytes(blob, letter);
  append_bytes(blob, static_cast<std::uint32_t>(design.vertices.size()));
  append_bytes(blob, static_cast<std::uint32_t>(design.triangles.size()));
  for (const int cells : picture.cells) append_bytes(blob, static_cast<std::uint32_t>(cells));
  for (const double corner_mm : picture.low_mm) append_bytes(blob, static_cast<float>(corner_mm));
  append_bytes(blob, static_cast<float>(picture.cell_mm));
  const AgeRange range = age_range(picture);
  append_bytes(blob, range.low);
  append_bytes(blob, range.high);
  append_mesh(blob, design);
  for (std::size_t i = 0; i < picture.count(); ++i) {
    append_bytes(blob, range.code(picture.age_s[i]));
    append_bytes(blob, part(picture.inside[i]));
    append_bytes(blob, part(picture.fills_at[i]));
    append_bytes(blob, static_cast<std::uint8_t>(picture.in_pocket[i] != 0 ? 255 : 0));
  }
  return blob;
}

}  // namespace boxfettle
