// One half of a core box as it should be: its cavity, which is the core's surface on that half's side of the
// parting plane, and the parting face, which is that plane outside the core's outline.
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "corebox/core_box.hpp"
#include "reading/design_surface.hpp"
#include "reading/outline_map.hpp"

namespace boxfettle {

// The cavity's rim belongs to neither cavity nor face: edges are never quite sharp.
inline constexpr double rim_mm = 1.0;

// Whether anything of the core lies deeper than the rim in this half.
bool has_cavity(const TriangleMesh& design, const PartingFace& parting, Half half);

class HalfDesign {
 public:
  // Throws InputError("design", ...) as DesignSurface does, and when the parting plane leaves no cavity in
  // this half.
  HalfDesign(const TriangleMesh& design, const PartingFace& parting, Half half);

  const DesignSurface& cavity() const {
    return *cavity_;
  }  // an open sheet; normals out of the core, into the tool
  bool at_border(std::uint32_t triangle) const {
    return at_border_[triangle];
  }  // of the sheet: it touches its edge
  const OutlineMap& outline() const { return *outline_; }
  const std::vector<std::vector<Eigen::Vector2d>>& outline_lines() const { return lines_; }
  const std::vector<std::string>& notes() const { return notes_; }
  const PartingFace& parting() const { return parting_; }
  Half half() const { return half_; }
  Eigen::Vector3d centroid_mm() const { return centroid_mm_; }  // of what the outline encloses
  double deepest_mm() const { return deepest_mm_; }             // of the cavity under the parting plane

  // Out of the tool: away from its metal, across the parting face.
  Eigen::Vector3d out_of_tool() const { return half_ == Half::lower ? parting_.normal : -parting_.normal; }
  double height_mm(const Eigen::Vector3d& design_mm) const {
    return out_of_tool().dot(design_mm - parting_.point_mm);
  }

 private:
  PartingFace parting_;
  Half half_;
  std::vector<std::string> notes_;
  std::vector<std::vector<Eigen::Vector2d>> lines_;
  Eigen::Vector3d centroid_mm_ = Eigen::Vector3d::Zero();
  double deepest_mm_ = 0;
  std::unique_ptr<DesignSurface> cavity_;
  std::vector<bool> at_border_;
  std::unique_ptr<OutlineMap> outline_;
};

}  // namespace boxfettle
