#include "reading/design_surface.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "geometry/facing.hpp"
#include "geometry/refined_mesh.hpp"
#include "input/input_error.hpp"
#include "reading/printed.hpp"

namespace boxfettle {
namespace {

// Triangles this small carry a map of deviations finely enough: about 80,000 of them over the whole surface.
constexpr double triangles_wanted = 80000;
constexpr std::size_t most_triangles = 1500000;
constexpr double smallest_mm = 1;  // across: no core is smaller, and a core in metres is

}  // namespace

DesignSurface::Prepared DesignSurface::prepared(const TriangleMesh& design) {
  if (design.triangles.empty())
    throw InputError("design", "", "it has no triangles", "export the core's surface as a mesh");
  if (const double across_mm = boxfettle::bounds(design).diagonal(); across_mm < smallest_mm)
    throw InputError("design", "", printed("read as mm it is only %.3g mm across", across_mm),
                     "export the core in millimetres; metres may have been written");
  MeshTopology topology = mesh_topology(design);
  if (topology.open_edges > 0)
    throw InputError(
        "design", "", "the surface is open along " + std::to_string(topology.open_edges) + " edges",
        "close it in the CAD program and export it again: inside and outside must be told apart");
  std::vector<std::string> notes;
  TriangleMesh mesh = design;
  bool changed = false;
  if (topology.contradicting_edges > 0) {
    const std::optional<std::size_t> turned = agree_on_facing(mesh, topology);
    if (!turned)
      throw InputError("design", "",
                       std::to_string(topology.contradicting_edges) +
                           " edges join triangles that face opposite ways, and "
                           "no turning of triangles makes them agree",
                       "the surface has one side only; mend it in the CAD program and export it again");
    notes.push_back(std::to_string(*turned) +
                    " triangles of the design faced against their neighbours; they were turned.");
    changed = true;
  }
  const double volume = enclosed_volume_mm3(mesh);
  if (volume == 0)
    throw InputError("design", "", "the surface encloses no volume", "export the core as a solid");
  if (volume < 0) {
    for (Triangle& t : mesh.triangles) std::swap(t[1], t[2]);
    notes.emplace_back("The design was inside out; its facets were turned.");
    changed = true;
  }
  if (topology.crowded_edges > 0)
    notes.push_back("The design has " + std::to_string(topology.crowded_edges) +
                    " edges where more than two facets meet; near them inside and outside may be mistaken.");
  const double edge_mm = 2 * std::sqrt(boxfettle::area_mm2(mesh) / triangles_wanted);
  const std::size_t triangles_before = mesh.triangles.size();
  mesh = refined_mesh(std::move(mesh), edge_mm, std::max(most_triangles, triangles_before));
  changed |= mesh.triangles.size() != triangles_before;
  if (changed) topology = mesh_topology(mesh);
  return {std::move(mesh), std::move(topology), std::move(notes)};
}

DesignSurface::DesignSurface(const TriangleMesh& design) : DesignSurface(prepared(design)) {}

DesignSurface::DesignSurface(OpenSheet sheet)
    : DesignSurface(Prepared{sheet.mesh, mesh_topology(sheet.mesh), {}}) {}

DesignSurface::DesignSurface(Prepared ready)
    : notes_(std::move(ready.notes)),
      mesh_(std::move(ready.mesh)),
      index_(mesh_, std::move(ready.topology)),
      bounds_(boxfettle::bounds(mesh_)) {
  area_.resize(mesh_.triangles.size());
  for (std::size_t t = 0; t < area_.size(); ++t) {
    const double area = 0.5 * doubled_area_vector(mesh_, t).norm();
    area_[t] = static_cast<float>(area);
    total_area_ += area;
  }
}

}  // namespace boxfettle
