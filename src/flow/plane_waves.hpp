// Several sweeps over a grid in one walk, plane after plane, so that what one sweep has just touched is still
// in the cache for the next.
//
// Stage k may work on plane z once stage k - 1 has worked on planes z - 1, z and z + 1. Within a block of
// planes the stages follow each other one plane apart; around the edges between blocks, which run side by
// side, what is missing is made up afterwards. A stage must not care in which order its planes come.
#pragma once

#include <tbb/parallel_for.h>

#include <algorithm>

namespace boxfettle {

template <typename Work>  // (int stage, int plane)
void sweep_planes(int planes, int stages, const Work& work) {
  const int planes_in_a_block = std::max(16, 2 * stages);
  const int blocks = std::max(planes / planes_in_a_block, 1);
  tbb::parallel_for(0, blocks, [&](int block) {
    const int first = block * planes_in_a_block;
    const int last = block + 1 == blocks ? planes : first + planes_in_a_block;
    for (int front = first; front < last + stages; ++front)
      for (int stage = 0; stage < stages; ++stage) {
        const int plane = front - stage;
        const int from = block == 0 ? 0 : first + stage;
        const int to = block + 1 == blocks ? planes : last - stage;
        if (plane >= from && plane < to) work(stage, plane);
      }
  });
  tbb::parallel_for(1, std::max(blocks, 1), [&](int block) {
    const int edge = block * planes_in_a_block;
    for (int stage = 1; stage < stages; ++stage)
      for (int plane = edge - stage; plane < edge + stage; ++plane) work(stage, plane);
  });
}

}  // namespace boxfettle
