// The design made ready for reading: triangles small enough to carry a map of deviations, an index, and
// cells.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "geometry/closest_point.hpp"
#include "geometry/triangle_mesh.hpp"

namespace boxfettle {

// Part of a design that was made ready already: open, its triangles small enough. Inside and outside hold
// only near it, away from its border.
struct OpenSheet {
  TriangleMesh mesh;
};

// Pinned in memory: the index points at the mesh.
class DesignSurface {
 public:
  // Throws InputError("design", ...) when the surface is open, has no volume, has one side only, or is less
  // than 1 mm across: then it is in metres. Triangles that face against their neighbours are turned. A design
  // that is inside out is turned. `notes` says of each.
  explicit DesignSurface(const TriangleMesh& design);
  explicit DesignSurface(OpenSheet sheet);  // with at least one triangle
  DesignSurface(const DesignSurface&) = delete;
  DesignSurface& operator=(const DesignSurface&) = delete;

  const TriangleMesh& mesh() const { return mesh_; }
  const SurfaceIndex& index() const { return index_; }
  const std::vector<float>& triangle_area_mm2() const { return area_; }
  double area_mm2() const { return total_area_; }
  const Bounds& bounds() const { return bounds_; }
  const std::vector<std::string>& notes() const { return notes_; }

 private:
  struct Prepared {
    TriangleMesh mesh;
    MeshTopology topology;
    std::vector<std::string> notes;
  };
  static Prepared prepared(const TriangleMesh& design);
  explicit DesignSurface(Prepared ready);

  std::vector<std::string> notes_;
  TriangleMesh mesh_;
  SurfaceIndex index_;
  std::vector<float> area_;
  double total_area_ = 0;
  Bounds bounds_;
};

}  // namespace boxfettle
