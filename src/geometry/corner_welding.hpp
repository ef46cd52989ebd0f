// Triangle corners given one by one, numbered so that corners at the same place (to the bit) share a number.
#pragma once

#include <Eigen/Core>
#include <array>
#include <bit>
#include <cstdint>
#include <limits>
#include <random>
#include <span>
#include <utility>
#include <vector>

namespace boxfettle {

// Spreads 128 bits over 64: the two halves of one wide product.
inline std::uint64_t folded_product(std::uint64_t a, std::uint64_t b) {
  __extension__ using Wide = unsigned __int128;
  const Wide product = static_cast<Wide>(a) * b;
  return static_cast<std::uint64_t>(product) ^ static_cast<std::uint64_t>(product >> 64);
}

// Drawn anew for each table: a file made to collide under one seed does not collide under the next. What
// comes out does not depend on it, for corners are numbered in the order they first appear.
struct HashSeed {
  std::uint64_t a, b;
  static HashSeed drawn() {
    std::random_device device;
    const auto word = [&] { return (std::uint64_t{device()} << 32) | device() | 1; };
    return {word(), word()};
  }
};

// Scalar is float or double, as the file has them.
template <typename Scalar>
class CornerWelder {
 public:
  using Place = std::array<Scalar, 3>;
  static constexpr std::size_t batch = 96;  // corners looked up together, so that memory is fetched ahead

  explicit CornerWelder(std::size_t expected_corners)
      : slots_(std::bit_ceil(expected_corners / 2 + 2 * batch), free), lately_(lately, Met{{}, free}) {
    vertices_.reserve(expected_corners / 5);  // a closed surface has about six corners per vertex
  }

  // Numbers up to `batch` corners.
  void weld(std::span<Place> corners, std::uint32_t* numbers) {
    if (2 * (vertices_.size() + corners.size()) > slots_.size()) grow();
    std::array<std::uint64_t, batch> hash;
    for (std::size_t i = 0; i < corners.size(); ++i) {
      for (Scalar& value : corners[i]) value += Scalar{0};  // -0 and 0 are one place
      hash[i] = hashed(corners[i]);
      __builtin_prefetch(&slots_[hash[i] & (slots_.size() - 1)]);
    }
    for (std::size_t i = 0; i < corners.size(); ++i) ask_for_vertex_at(hash[i]);
    for (std::size_t i = 0; i < corners.size(); ++i) {
      Met& met = lately_[hash[i] >> lately_shift];
      if (met.number == free || met.place != corners[i]) met = {corners[i], number(corners[i], hash[i])};
      numbers[i] = met.number;
    }
  }

  const std::vector<Eigen::Vector3d>& vertices() const { return vertices_; }
  std::vector<Eigen::Vector3d> take_vertices() { return std::move(vertices_); }

 private:
  static constexpr std::uint32_t free = std::numeric_limits<std::uint32_t>::max();
  // Files tell triangles beside each other one after the other, so five corners in six were met lately: those
  // few stay in the nearest cache.
  static constexpr std::size_t lately = 4096;
  static constexpr int lately_shift = 64 - std::bit_width(lately - 1);
  struct Met {
    Place place;
    std::uint32_t number;
  };

  std::uint64_t hashed(const Place& place) const {
    if constexpr (sizeof(Scalar) == 4) {
      const std::uint64_t xy = (std::uint64_t{std::bit_cast<std::uint32_t>(place[0])} << 32) |
                               std::bit_cast<std::uint32_t>(place[1]);
      return folded_product(xy ^ seed_.a, std::bit_cast<std::uint32_t>(place[2]) ^ seed_.b);
    } else {
      const std::uint64_t xy = folded_product(std::bit_cast<std::uint64_t>(place[0]) ^ seed_.a,
                                              std::bit_cast<std::uint64_t>(place[1]) ^ seed_.b);
      return folded_product(xy ^ seed_.b, std::bit_cast<std::uint64_t>(place[2]) ^ seed_.a);
    }
  }

  static Eigen::Vector3d vertex(const Place& place) {
    return {double{place[0]}, double{place[1]}, double{place[2]}};
  }

  // For the processor to fetch what the slot names while other slots are looked up.
  void ask_for_vertex_at(std::uint64_t hash) const {
    const std::uint32_t number = slots_[hash & (slots_.size() - 1)];
    if (number != free) __builtin_prefetch(&vertices_[number]);
  }

  std::uint32_t number(const Place& place, std::uint64_t hash) {
    const Eigen::Vector3d at = vertex(place);
    std::size_t slot = hash & (slots_.size() - 1);
    while (slots_[slot] != free && vertices_[slots_[slot]] != at) slot = (slot + 1) & (slots_.size() - 1);
    if (slots_[slot] == free) {
      slots_[slot] = static_cast<std::uint32_t>(vertices_.size());
      vertices_.push_back(at);
    }
    return slots_[slot];
  }

  void grow() {
    slots_.assign(slots_.size() * 2, free);
    for (std::uint32_t i = 0; i < vertices_.size(); ++i) {
      const Place place{static_cast<Scalar>(vertices_[i].x()), static_cast<Scalar>(vertices_[i].y()),
                        static_cast<Scalar>(vertices_[i].z())};
      std::size_t slot = hashed(place) & (slots_.size() - 1);
      while (slots_[slot] != free) slot = (slot + 1) & (slots_.size() - 1);
      slots_[slot] = i;
    }
  }

  HashSeed seed_ = HashSeed::drawn();
  std::vector<std::uint32_t> slots_;  // open addressing, at most half full
  std::vector<Met> lately_;           // by the hash's upper bits
  std::vector<Eigen::Vector3d> vertices_;
};

}  // namespace boxfettle
