#include "paper/shaded_core.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace boxfettle {
namespace {

constexpr double smooth_below_cos =
    0.82;  // facets that turn less than 35 degrees belong to one curved surface
constexpr int table_size = 2048;

// Normals at the corners of every triangle: the mean of the facets about the corner that do not turn sharply
// from this one, so that a turned surface looks round and an edge stays an edge.
class CornerNormals {
 public:
  explicit CornerNormals(const TriangleMesh& mesh) : mesh_(mesh), first_(mesh.vertices.size() + 1, 0) {
    facet_.reserve(mesh.triangles.size());
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
      facet_.push_back(doubled_area_vector(mesh, t).cast<float>());
    for (const Triangle& t : mesh.triangles)
      for (const std::uint32_t v : t) ++first_[v + 1];
    for (std::size_t v = 0; v < mesh.vertices.size(); ++v) first_[v + 1] += first_[v];
    about_.resize(first_.back());
    std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
    for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t)
      for (const std::uint32_t v : mesh.triangles[t]) about_[next[v]++] = t;
  }

  Eigen::Vector3d at(std::uint32_t triangle, const Eigen::Vector3d& share) const {
    const Eigen::Vector3f own = facet_[triangle].normalized();
    Eigen::Vector3f normal = Eigen::Vector3f::Zero();
    for (int k = 0; k < 3; ++k)
      normal +=
          static_cast<float>(share[k]) * corner(mesh_.triangles[triangle][static_cast<std::size_t>(k)], own);
    return normal.cast<double>().normalized();
  }

 private:
  Eigen::Vector3f corner(std::uint32_t vertex, const Eigen::Vector3f& own) const {
    Eigen::Vector3f sum = Eigen::Vector3f::Zero();
    for (std::uint32_t i = first_[vertex]; i < first_[vertex + 1]; ++i) {
      const Eigen::Vector3f& facet = facet_[about_[i]];
      if (facet.dot(own) > static_cast<float>(smooth_below_cos) * facet.norm()) sum += facet;
    }
    return sum.squaredNorm() > 0 ? Eigen::Vector3f(sum.normalized()) : own;
  }

  const TriangleMesh& mesh_;
  std::vector<Eigen::Vector3f> facet_;  // doubled area times normal
  std::vector<std::uint32_t> first_, about_;
};

class ColourTable {
 public:
  explicit ColourTable(const ColourScale& scale) : range_mm_(scale.range_mm) {
    for (int i = 0; i < table_size; ++i)
      colours_.push_back(colour_of(((2 * (i + 0.5)) / table_size - 1) * scale.range_mm, scale));
  }
  const Rgb& of(double deviation_mm) const {
    const double share = 0.5 + 0.5 * deviation_mm / range_mm_;
    const auto at = static_cast<int>(std::clamp(share, 0.0, 1.0) * table_size);
    return colours_[static_cast<std::size_t>(std::min(at, table_size - 1))];
  }

 private:
  double range_mm_;
  std::vector<Rgb> colours_;
};

struct Fine {  // one fine pixel, before the picture is taken
  std::vector<Rgb> colour;
  std::vector<Eigen::Vector3f> normal;
  std::vector<std::uint16_t> finding;
};

// The mean of the seen corners, or NaN when they hold less than half of the place.
double deviation_at(const TriangleMesh& mesh, std::span<const float> deviation_mm, std::uint32_t triangle,
                    const Eigen::Vector3d& share) {
  double sum = 0, seen = 0;
  for (std::size_t k = 0; k < 3; ++k) {
    const float d = deviation_mm[mesh.triangles[triangle][k]];
    if (std::isnan(d)) continue;
    sum += share[static_cast<Eigen::Index>(k)] * d;
    seen += share[static_cast<Eigen::Index>(k)];
  }
  return seen > 0.5 ? sum / seen : std::numeric_limits<double>::quiet_NaN();
}

Rgb hatch(int x, int y) {
  constexpr int stripe = 18, dark = 5;  // fine pixels
  const Rgb light{0.965, 0.955, 0.90}, line{0.47, 0.45, 0.40};
  return (x + y) % stripe < dark ? line : light;
}

double light(const Eigen::Vector3d& normal, const ViewFrame& frame) {
  const Eigen::Vector3d in_view(frame.right.dot(normal), frame.up.dot(normal), frame.toward_eye.dot(normal));
  static const Eigen::Vector3d key = Eigen::Vector3d(-0.45, 0.60, 0.66).normalized();
  return std::min(1.0, 0.66 + 0.28 * std::max(0.0, in_view.dot(key)) + 0.08 * std::max(0.0, in_view.z()));
}

// The finding that holds most of the place.
std::uint16_t finding_at(const TriangleMesh& mesh, std::span<const std::uint16_t> finding,
                         std::uint32_t triangle, const Eigen::Vector3d& share) {
  const Triangle& t = mesh.triangles[triangle];
  std::uint16_t best = 0;
  double most = 0;
  for (const std::uint32_t v : t) {
    double held = 0;
    for (std::size_t k = 0; k < 3; ++k)
      if (finding[t[k]] == finding[v]) held += share[static_cast<Eigen::Index>(k)];
    if (held <= most) continue;
    most = held;
    best = finding[v];
  }
  return best;
}

Fine painted(const TriangleMesh& mesh, const Painting& painting, const CoreView& view) {
  const CornerNormals normals(mesh);
  const ColourTable colours(painting.scale);
  const std::size_t pixels = view.triangle.size();
  Fine fine{std::vector<Rgb>(pixels, {1, 1, 1}),
            std::vector<Eigen::Vector3f>(pixels, Eigen::Vector3f::Zero()),
            std::vector<std::uint16_t>(pixels, 0)};
  tbb::parallel_for(0, view.frame.height, [&](int y) {
    for (int x = 0; x < view.frame.width; ++x) {
      if (!view.covered(x, y)) continue;
      const std::size_t at = view.pixel(x, y);
      const std::uint32_t t = view.triangle[at];
      const Eigen::Vector3d share = corner_shares(mesh, t, view.frame, x, y).cwiseMax(0.0).cwiseMin(1.0);
      const Eigen::Vector3d normal = normals.at(t, share);
      const double deviation = deviation_at(mesh, painting.deviation_mm, t, share);
      const double shade = light(normal, view.frame);
      Rgb colour = std::isnan(deviation) ? hatch(x, y) : colours.of(deviation);
      for (double& part : colour) part *= shade;
      fine.colour[at] = colour;
      fine.normal[at] = normal.cast<float>();
      fine.finding[at] = finding_at(mesh, painting.finding, t, share);
    }
  });
  return fine;
}

// How much of an edge line runs through a fine pixel: a step in height against the surface beside it, a
// sharp turn of the surface, or the rim of a finding.
double edge_share(const CoreView& view, const Fine& fine, int x, int y) {
  constexpr int reach = 2;
  const std::size_t at = view.pixel(x, y);
  double turned = 0;
  for (const auto& [dx, dy] : {std::pair{reach, 0}, {-reach, 0}, {0, reach}, {0, -reach}}) {
    const int nx = x + dx, ny = y + dy;
    if (nx < 0 || ny < 0 || nx >= view.frame.width || ny >= view.frame.height || !view.covered(nx, ny))
      return 1;
    const std::size_t next = view.pixel(nx, ny);
    const double step = view.height_mm[next] - view.height_mm[at];
    // A steep surface steps too; what is more than its slope at grazing sight is an edge.
    if (step < -8.0 * reach * view.frame.mm_per_pixel) return 1;
    if (fine.finding[next] < fine.finding[at]) return 0.85;
    turned = std::max(turned, 1.0 - static_cast<double>(fine.normal[at].dot(fine.normal[next])));
  }
  return std::clamp((turned - 0.25) / 0.5, 0.0, 0.6);
}

std::uint32_t packed(const Rgb& colour) {
  std::uint32_t value = 0;
  for (const double part : colour)
    value = value << 8 | static_cast<std::uint32_t>(std::lround(255 * std::clamp(part, 0.0, 1.0)));
  return value;
}

}  // namespace

Picture shaded_core(const TriangleMesh& mesh, const Painting& painting, const CoreView& view) {
  const Fine fine = painted(mesh, painting, view);
  Picture picture{view.frame.width / 2, view.frame.height / 2, {}};
  picture.pixels.resize(static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height));
  const Rgb line{0.16, 0.17, 0.19};
  tbb::parallel_for(0, picture.height, [&](int y) {
    for (int x = 0; x < picture.width; ++x) {
      Rgb mean{0, 0, 0};
      for (const auto& [dx, dy] : {std::pair{0, 0}, {1, 0}, {0, 1}, {1, 1}}) {
        const int fx = 2 * x + dx, fy = 2 * y + dy;
        const double edge = view.covered(fx, fy) ? edge_share(view, fine, fx, fy) : 0;
        for (std::size_t k = 0; k < 3; ++k)
          mean[k] += 0.25 * std::lerp(fine.colour[view.pixel(fx, fy)][k], line[k], edge);
      }
      picture.pixels[static_cast<std::size_t>(y) * static_cast<std::size_t>(picture.width) +
                     static_cast<std::size_t>(x)] = packed(mean);
    }
  });
  return picture;
}

}  // namespace boxfettle
