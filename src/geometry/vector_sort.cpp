#include "geometry/vector_sort.hpp"

#include <hwy/contrib/sort/vqsort.h>

namespace boxfettle {

void sort_ascending(std::span<float> values) {
  hwy::Sorter()(values.data(), values.size(), hwy::SortAscending());
}

void sort_ascending(std::span<std::uint64_t> values) {
  hwy::Sorter()(values.data(), values.size(), hwy::SortAscending());
}

}  // namespace boxfettle
