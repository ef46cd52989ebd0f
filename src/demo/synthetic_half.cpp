#include "demo/synthetic_half.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <optional>

#include "demo/dice.hpp"
#include "demo/faulty_core.hpp"
#include "geometry/plane_section.hpp"

namespace boxfettle::demo {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;
using std::numbers::pi;

constexpr double margin_mm = 22;  // of the block round outline and dowels
constexpr double pin_height_mm = 14, bore_depth_mm = 16;
constexpr double into_half_mm =
    0.02;  // the outline is taken this deep: a step in the parting plane is the core's
constexpr double travel_mm = 300;
constexpr std::size_t batch_points = 4096;

enum Stream : std::uint64_t { pose_draws, unseen_draws, outlier_draws, first_batch };

bool encloses(const std::vector<Vector2d>& line, const Vector2d& p) {
  bool inside = false;
  for (std::size_t i = 0, j = line.size() - 1; i < line.size(); j = i++)
    if ((line[i].y() > p.y()) != (line[j].y() > p.y()) &&
        p.x() <
            line[i].x() + (p.y() - line[i].y()) / (line[j].y() - line[i].y()) * (line[j].x() - line[i].x()))
      inside = !inside;
  return inside;
}

// Pin, bore or slot as it is cut: a round-ended slot whose straight part may have no length.
struct CutDowel {
  Vector2d at_mm, axis;
  double radius_mm, straight_mm;  // straight: half the length of the straight walls

  double distance_mm(const Vector2d& p) const {
    const Vector2d from = p - at_mm;
    const double along = std::clamp(from.dot(axis), -straight_mm, straight_mm);
    return (from - along * axis).norm() - radius_mm;
  }
  double round_mm() const { return 2 * pi * radius_mm + 4 * straight_mm; }

  // The place a share of the way round, and the way out of the metal-free or metal middle.
  std::pair<Vector2d, Vector2d> wall(double share) const {
    const Vector2d across(-axis.y(), axis.x());
    double way = share * round_mm();
    for (const double side : {1.0, -1.0}) {
      if (way < 2 * straight_mm)
        return {at_mm + (way - straight_mm) * side * axis - side * radius_mm * across, -side * across};
      way -= 2 * straight_mm;
      if (way < pi * radius_mm) {
        const double angle = way / radius_mm - pi / 2;
        const Vector2d out = side * (std::cos(angle) * axis + std::sin(angle) * across);
        return {at_mm + side * straight_mm * axis + radius_mm * out, out};
      }
      way -= pi * radius_mm;
    }
    return wall(0);
  }
};

CutDowel cut_dowel(const Dowel& dowel, const ToolHalf& tool) {
  const bool pin = tool.has_pins();
  CutDowel cut{pin ? dowel.at_parting_mm : dowel.bush_at_parting_mm.value_or(dowel.at_parting_mm),
               dowel.slot_axis.normalized(), 0.5 * (pin ? dowel.pin_mm : dowel.bush_mm), 0};
  if (!pin && dowel.kind == Dowel::Bush::slot)
    cut.straight_mm = 0.5 * (dowel.slot_length_mm.value_or(2 * dowel.bush_mm) - dowel.bush_mm);
  for (const DowelFault& fault : tool.faults.dowels)
    if (fault.id == dowel.id) {
      cut.at_mm += fault.shift_mm;
      cut.radius_mm += 0.5 * fault.diameter_change_mm;
    }
  return cut;
}

// A piece of the tool's surface: its area and a point thrown evenly over it, if the place is there at all.
struct Region {
  double area_mm2;
  std::function<std::optional<SurfacePoint>(Dice&)> point;
};

Vector3d at_height(const ToolHalf& tool, const Vector2d& p, double height_mm) {
  return tool.box.parting.at_design_mm(p) + height_mm * tool.out_of_tool();
}

Vector3d in_plane(const ToolHalf& tool, const Vector2d& way) {
  return way.x() * tool.box.parting.x_axis + way.y() * tool.box.parting.y_axis;
}

Region face_region(const ToolHalf& tool) {
  const Vector2d size = tool.high_mm - tool.low_mm;
  return {size.x() * size.y(), [&tool, size](Dice& dice) -> std::optional<SurfacePoint> {
            const Vector2d p = tool.low_mm + Vector2d(dice.uniform() * size.x(), dice.uniform() * size.y());
            if (!tool.on_face(p)) return std::nullopt;
            return SurfacePoint{at_height(tool, p, tool.face_height_mm(p)), tool.out_of_tool()};
          }};
}

Region side_region(const ToolHalf& tool, int axis, bool high) {
  const Vector2d size = tool.high_mm - tool.low_mm;
  return {size[1 - axis] * tool.depth_mm,
          [&tool, size, axis, high](Dice& dice) -> std::optional<SurfacePoint> {
            Vector2d p = high ? tool.high_mm : tool.low_mm;
            p[1 - axis] = tool.low_mm[1 - axis] + dice.uniform() * size[1 - axis];
            return SurfacePoint{at_height(tool, p, -dice.uniform() * tool.depth_mm),
                                in_plane(tool, (high ? 1.0 : -1.0) * Vector2d::Unit(axis))};
          }};
}

Region floor_region(const ToolHalf& tool) {
  const Vector2d size = 1.4 * (tool.high_mm - tool.low_mm),
                 low = 0.5 * (tool.high_mm + tool.low_mm) - 0.5 * size;
  return {size.x() * size.y(), [&tool, size, low](Dice& dice) -> std::optional<SurfacePoint> {
            const Vector2d p = low + Vector2d(dice.uniform() * size.x(), dice.uniform() * size.y());
            const bool under =
                (p.array() > tool.low_mm.array()).all() && (p.array() < tool.high_mm.array()).all();
            if (under) return std::nullopt;
            return SurfacePoint{at_height(tool, p, -tool.depth_mm), tool.out_of_tool()};
          }};
}

void add_dowel_regions(std::vector<Region>& regions, const ToolHalf& tool, const Dowel& dowel) {
  const CutDowel cut = cut_dowel(dowel, tool);
  const double end_mm = tool.has_pins() ? pin_height_mm : -bore_depth_mm;
  regions.push_back(
      {cut.round_mm() * std::abs(end_mm), [&tool, cut, end_mm](Dice& dice) -> std::optional<SurfacePoint> {
         const auto [at, out] = cut.wall(dice.uniform());
         return SurfacePoint{at_height(tool, at, dice.uniform() * end_mm),
                             in_plane(tool, tool.has_pins() ? out : Vector2d(-out))};
       }});
  const double reach = cut.radius_mm + cut.straight_mm;
  regions.push_back(
      {4 * reach * reach, [&tool, cut, end_mm, reach](Dice& dice) -> std::optional<SurfacePoint> {
         const Vector2d p = cut.at_mm + reach * Vector2d(dice.uniform(-1, 1), dice.uniform(-1, 1));
         if (cut.distance_mm(p) > 0) return std::nullopt;
         return SurfacePoint{at_height(tool, p, end_mm), tool.out_of_tool()};
       }});
}

// Triangles of the design that reach into this half, as one region.
Region cavity_region(const ToolHalf& tool, const FaultyCore& core) {
  std::vector<double> up_to;
  std::vector<std::size_t> triangles;
  double total = 0;
  for (std::size_t t = 0; t < tool.design.triangles.size(); ++t) {
    double deepest = 0;
    for (int corner = 0; corner < 3; ++corner)
      deepest = std::min(deepest,
                         tool.out_of_tool().dot(tool.design.corner(t, corner) - tool.box.parting.point_mm));
    if (deepest >= 0) continue;
    up_to.push_back(total += 0.5 * doubled_area_vector(tool.design, t).norm());
    triangles.push_back(t);
  }
  return {total,
          [&tool, &core, up_to = std::move(up_to),
           triangles = std::move(triangles)](Dice& dice) -> std::optional<SurfacePoint> {
            const auto at = std::upper_bound(up_to.begin(), up_to.end() - 1, dice.uniform() * up_to.back());
            const std::size_t t = triangles[static_cast<std::size_t>(at - up_to.begin())];
            const double r = std::sqrt(dice.uniform()), s = dice.uniform();
            const Vector3d p = (1 - r) * tool.design.corner(t, 0) + r * (1 - s) * tool.design.corner(t, 1) +
                               r * s * tool.design.corner(t, 2);
            if (tool.out_of_tool().dot(p - tool.box.parting.point_mm) >= 0) return std::nullopt;
            const Vector3d out_of_core = doubled_area_vector(tool.design, t).normalized();
            return SurfacePoint{p + core.raised_mm(t, p) * out_of_core, -out_of_core};
          }};
}

std::vector<SurfacePoint> measured(const std::vector<Region>& regions, const Scanner& scanner,
                                   std::size_t wanted) {
  double total = 0;
  for (const Region& region : regions) total += region.area_mm2;
  struct Batch {
    const Region* region;
    std::size_t points;
    std::vector<SurfacePoint> made = {};
  };
  std::vector<Batch> batches;
  for (const Region& region : regions) {
    auto left = static_cast<std::size_t>(std::lround(static_cast<double>(wanted) * region.area_mm2 / total));
    for (; left > 0; left -= std::min(left, batch_points))
      batches.push_back({&region, std::min(left, batch_points)});
  }
  tbb::parallel_for(std::size_t{0}, batches.size(), [&](std::size_t b) {
    Dice dice(scanner.seed, first_batch + b);
    for (std::size_t i = 0; i < batches[b].points; ++i) {
      const double noise_mm = scanner.noise_mm * dice.normal();
      if (std::optional<SurfacePoint> p = batches[b].region->point(dice)) {
        p->at_mm += noise_mm * p->normal;
        batches[b].made.push_back(*p);
      }
    }
  });
  std::vector<SurfacePoint> points;
  for (const Batch& batch : batches) points.insert(points.end(), batch.made.begin(), batch.made.end());
  return points;
}

// What lies furthest one way along the face was not seen.
void cut_away(std::vector<SurfacePoint>& points, const Vector3d& away, double fraction) {
  const auto unseen = static_cast<std::ptrdiff_t>(std::lround(fraction * static_cast<double>(points.size())));
  if (unseen == 0) return;
  std::nth_element(
      points.begin(), points.end() - unseen, points.end(),
      [&](const SurfacePoint& a, const SurfacePoint& b) { return away.dot(a.at_mm) < away.dot(b.at_mm); });
  points.resize(points.size() - static_cast<std::size_t>(unseen));
}

void add_outliers(std::vector<SurfacePoint>& points, const Bounds& part, std::size_t count, Dice dice) {
  for (std::size_t i = 0; i < count; ++i) {
    Vector3d at_mm = part.centre();
    for (int axis = 0; axis < 3; ++axis)
      at_mm[axis] += 0.65 * (part.high - part.low)[axis] * dice.uniform(-1, 1);
    points.push_back({at_mm, dice.direction()});
  }
}

RigidPose pose_in_scanner(const Scanner& scanner) {
  RigidPose pose;
  if (!scanner.arbitrary_pose) return pose;
  Dice dice(scanner.seed, pose_draws);
  pose.rotation = dice.rotation();
  for (int axis = 0; axis < 3; ++axis) pose.translation_mm[axis] = dice.uniform(-travel_mm, travel_mm);
  return pose;
}

}  // namespace

ToolHalf::ToolHalf(const TriangleMesh& design_mesh, const CoreBox& core_box, Half which,
                   const HalfFaults& with)
    : design(design_mesh), box(core_box), half(which), faults(with) {
  const PartingFace& parting = box.parting;
  const double level_mm = parting.normal.dot(parting.point_mm - into_half_mm * out_of_tool());
  low_mm = Vector2d::Constant(1e300);
  high_mm = -low_mm;
  const auto include = [&](const Vector2d& p, double round_mm) {
    low_mm = low_mm.cwiseMin((p.array() - round_mm).matrix());
    high_mm = high_mm.cwiseMax((p.array() + round_mm).matrix());
  };
  for (const SectionLine& line : plane_section(design, parting.normal, level_mm)) {
    outline_.push_back({{}, line.closed});
    for (const Vector3d& p : line.points_mm) outline_.back().points_mm.push_back(parting.at_parting_mm(p));
  }
  for (const Vector3d& vertex : design.vertices) {
    include(parting.at_parting_mm(vertex), margin_mm);
    depth_mm = std::max(depth_mm, out_of_tool().dot(parting.point_mm - vertex) + margin_mm);
  }
  for (const Dowel& dowel : box.dowels) include(dowel.at_parting_mm, margin_mm + 0.5 * dowel.bush_mm);
}

double ToolHalf::face_form_mm(const Vector2d& p) const {
  const Vector2d middle = 0.5 * (low_mm + high_mm), half_size = 0.5 * (high_mm - low_mm);
  const Vector2d u = (p - middle).cwiseQuotient(half_size);
  const double rise_x = std::tan(faults.face_tilt_deg.x() * pi / 180),
               rise_y = std::tan(faults.face_tilt_deg.y() * pi / 180);
  // About x: y goes up; about y: x goes down; up is the parting normal, which is into the upper tool.
  const double up = rise_x * p.y() - rise_y * p.x();
  return faults.face_offset_mm + (half == Half::lower ? up : -up) + faults.bow_mm * u.x() * u.x() +
         faults.twist_mm * u.x() * u.y();
}

double ToolHalf::face_height_mm(const Vector2d& p) const {
  double height = face_form_mm(p);
  for (const FaceDamage& damage : faults.damage) {
    const double share = (p - damage.at_parting_mm).norm() / damage.radius_mm;
    if (share < 1) height += damage.height_mm * std::pow(std::cos(0.5 * pi * share), 2);
  }
  return height;
}

bool ToolHalf::on_face(const Vector2d& p) const {
  if ((p.array() < low_mm.array()).any() || (p.array() > high_mm.array()).any()) return false;
  for (const Dowel& dowel : box.dowels)
    if (cut_dowel(dowel, *this).distance_mm(p) < 0) return false;
  bool inside = false;
  for (const Outline& line : outline_)
    if (encloses(line.points_mm, p)) inside = !inside;
  return !inside;
}

SyntheticScan scan_half(const ToolHalf& tool, const Scanner& scanner) {
  BoxFaults cavity_faults;
  cavity_faults.patches = tool.faults.patches;
  const FaultyCore core(tool.design, tool.box.parting, cavity_faults);
  std::vector<Region> regions{cavity_region(tool, core), face_region(tool)};
  for (const int axis : {0, 1})
    for (const bool high : {false, true}) regions.push_back(side_region(tool, axis, high));
  for (const Dowel& dowel : tool.box.dowels) add_dowel_regions(regions, tool, dowel);
  if (scanner.table) regions.push_back(floor_region(tool));

  const auto outliers =
      static_cast<std::size_t>(std::lround(scanner.outlier_fraction * static_cast<double>(scanner.points)));
  std::vector<SurfacePoint> points = measured(regions, scanner, scanner.points - outliers);
  Bounds part;
  for (const SurfacePoint& p : points) part.include(p.at_mm);
  const double way = Dice(scanner.seed, unseen_draws).uniform(0, 2 * pi);
  cut_away(points, in_plane(tool, {std::cos(way), std::sin(way)}), scanner.unseen_fraction);
  add_outliers(points, part, outliers, Dice(scanner.seed, outlier_draws));

  SyntheticScan scan{{}, pose_in_scanner(scanner)};
  scan.points.origin_mm = scan.scan_from_design * part.centre();
  for (const SurfacePoint& p : points) {
    scan.points.offsets_mm.push_back(
        (scan.scan_from_design.rotation * (p.at_mm - part.centre())).cast<float>());
    if (scanner.normals)
      scan.points.normals.push_back((scan.scan_from_design.rotation * p.normal).cast<float>());
  }
  return scan;
}

}  // namespace boxfettle::demo
