#include "reading/patch_series.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <unordered_map>

#include "reading/findings.hpp"

namespace boxfettle {
namespace {

struct Sighting {
  std::size_t scan;
  const Finding* finding;
};

std::vector<Sighting> sightings(std::span<const ScanOfSeries> scans) {
  std::vector<Sighting> all;
  for (std::size_t s = 0; s < scans.size(); ++s)
    for (const Finding& f : scans[s].findings)
      if (scans[s].placed && (f.kind == FindingKind::wear || f.kind == FindingKind::build_up))
        all.push_back({s, &f});
  return all;
}

// Sets that grow together.
class Groups {
 public:
  explicit Groups(std::size_t count) : parent_(count) {
    std::iota(parent_.begin(), parent_.end(), std::size_t{0});
  }
  std::size_t of(std::size_t i) {
    while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
    return i;
  }
  void join(std::size_t a, std::size_t b) { parent_[std::max(of(a), of(b))] = std::min(of(a), of(b)); }

 private:
  std::vector<std::size_t> parent_;
};

// The sightings of each place, in order of time.
std::vector<std::vector<Sighting>> places(const std::vector<Sighting>& all, std::size_t vertices) {
  constexpr double enough_shared = 0.2;
  Groups groups(all.size());
  std::vector<std::vector<std::uint32_t>> seen_by(vertices);
  for (std::uint32_t i = 0; i < all.size(); ++i) {
    std::unordered_map<std::uint32_t, std::size_t> shared;
    for (const std::uint32_t v : all[i].finding->vertices) {
      for (const std::uint32_t other : seen_by[v])
        if (all[other].finding->kind == all[i].finding->kind && all[other].scan != all[i].scan)
          ++shared[other];
      seen_by[v].push_back(i);
    }
    for (const auto& [other, count] : shared) {
      const std::size_t smaller =
          std::min(all[i].finding->vertices.size(), all[other].finding->vertices.size());
      if (static_cast<double>(count) > enough_shared * static_cast<double>(smaller)) groups.join(i, other);
    }
  }
  std::vector<std::vector<Sighting>> gathered(all.size());
  for (std::size_t i = 0; i < all.size(); ++i) gathered[groups.of(i)].push_back(all[i]);
  std::erase_if(gathered, [](const auto& place) { return place.empty(); });
  return gathered;
}

const Finding& deepest(const std::vector<Sighting>& place) {
  return *std::max_element(place.begin(), place.end(), [](const Sighting& a, const Sighting& b) {
            return std::abs(a.finding->depth_mm) < std::abs(b.finding->depth_mm);
          })->finding;
}

double area_found_mm2(const std::vector<Sighting>& place, std::size_t scan) {
  double area = 0;
  for (const Sighting& sighting : place)
    if (sighting.scan == scan) area += sighting.finding->area_mm2;
  return area;
}

FollowedPatch followed(const std::vector<Sighting>& place, std::span<const ScanOfSeries> scans,
                       const TriangleMesh& surface, const CoreBox* box) {
  const Finding& reference = deepest(place);
  std::vector<const MeasuredPoints*> found_in;
  for (const Sighting& sighting : place)
    if (found_in.empty() || found_in.back() != &scans[sighting.scan].points)
      found_in.push_back(&scans[sighting.scan].points);
  const KnownPlace known = centred(place_of(reference, surface), found_in);
  FollowedPatch patch{{}, reference.kind, known.at_mm, place_words(known.at_mm, box), {}};
  for (std::size_t s = 0; s < scans.size(); ++s) {
    const auto depth = scans[s].placed ? depth_of(known, scans[s].points) : std::nullopt;
    patch.readings.push_back(
        depth ? std::optional(PatchReading{depth->depth_mm, depth->u95_mm, area_found_mm2(place, s)})
              : std::nullopt);
  }
  return patch;
}

}  // namespace

ScanOfSeries scan_of_series(ScanReading&& reading) {
  return {std::move(reading.findings), std::move(reading.points.value()),
          reading.measured && !reading.pose_ambiguous};
}

std::vector<FollowedPatch> followed_patches(std::span<const ScanOfSeries> scans, const TriangleMesh& surface,
                                            const CoreBox* box) {
  std::vector<std::vector<Sighting>> gathered = places(sightings(scans), surface.vertices.size());
  std::stable_sort(gathered.begin(), gathered.end(), [](const auto& a, const auto& b) {
    if (a.front().scan != b.front().scan) return a.front().scan < b.front().scan;
    return std::abs(deepest(a).depth_mm) > std::abs(deepest(b).depth_mm);
  });
  std::vector<FollowedPatch> patches;
  for (const std::vector<Sighting>& place : gathered) {
    patches.push_back(followed(place, scans, surface, box));
    patches.back().id = "P" + std::to_string(patches.size());
  }
  return patches;
}

}  // namespace boxfettle
