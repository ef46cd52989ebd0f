#include "embree_surface.hpp"

#include <embree3/rtcore.h>
#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

namespace boxfettle::bench {
namespace {

using Eigen::Vector3f;

// Squared distance by Voronoi regions (Ericson, Real-Time Collision Detection, 2005, 5.1.5), in float as
// Embree keeps its own corners.
float squared_distance(const Vector3f& p, const Vector3f& a, const Vector3f& b, const Vector3f& c) {
  const Vector3f ab = b - a, ac = c - a, ap = p - a;
  const float d1 = ab.dot(ap), d2 = ac.dot(ap);
  if (d1 <= 0 && d2 <= 0) return ap.squaredNorm();
  const Vector3f bp = p - b;
  const float d3 = ab.dot(bp), d4 = ac.dot(bp);
  if (d3 >= 0 && d4 <= d3) return bp.squaredNorm();
  const Vector3f cp = p - c;
  const float d5 = ab.dot(cp), d6 = ac.dot(cp);
  if (d6 >= 0 && d5 <= d6) return cp.squaredNorm();
  const float vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return (ap - d1 / (d1 - d3) * ab).squaredNorm();
  const float vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return (ap - d2 / (d2 - d6) * ac).squaredNorm();
  const float va = d3 * d6 - d5 * d4;
  if (va <= 0 && d4 >= d3 && d5 >= d6)
    return (bp - (d4 - d3) / ((d4 - d3) + (d5 - d6)) * (c - b)).squaredNorm();
  const float scale = 1 / (va + vb + vc);
  return (ap - vb * scale * ab - vc * scale * ac).squaredNorm();
}

struct Corners {
  std::vector<Vector3f> vertices;
  std::vector<Triangle> triangles;
};

bool look_at_triangle(RTCPointQueryFunctionArguments* query) {
  const auto& corners = *static_cast<const Corners*>(query->userPtr);
  const Triangle& t = corners.triangles[query->primID];
  const Vector3f p(query->query->x, query->query->y, query->query->z);
  const float distance =
      std::sqrt(squared_distance(p, corners.vertices[t[0]], corners.vertices[t[1]], corners.vertices[t[2]]));
  if (distance >= query->query->radius) return false;
  query->query->radius = distance;
  return true;
}

template <typename Item>
void copy_to(RTCGeometry geometry, RTCBufferType kind, RTCFormat format, const std::vector<Item>& items) {
  void* buffer = rtcSetNewGeometryBuffer(geometry, kind, 0, format, sizeof(Item), items.size());
  std::copy(items.begin(), items.end(), static_cast<Item*>(buffer));
}

}  // namespace

struct EmbreeSurface::Scene {
  Corners corners;
  RTCDevice device;
  RTCScene scene;

  Scene(const TriangleMesh& mesh, int build_threads)
      : device(rtcNewDevice(("threads=" + std::to_string(build_threads)).c_str())),
        scene(rtcNewScene(device)) {
    if (!device) throw std::runtime_error("Embree does not start");
    for (const Eigen::Vector3d& v : mesh.vertices) corners.vertices.push_back(v.cast<float>());
    corners.triangles = mesh.triangles;
    const RTCGeometry geometry = rtcNewGeometry(device, RTC_GEOMETRY_TYPE_TRIANGLE);
    copy_to(geometry, RTC_BUFFER_TYPE_VERTEX, RTC_FORMAT_FLOAT3, corners.vertices);
    copy_to(geometry, RTC_BUFFER_TYPE_INDEX, RTC_FORMAT_UINT3, corners.triangles);
    rtcCommitGeometry(geometry);
    rtcAttachGeometry(scene, geometry);
    rtcReleaseGeometry(geometry);
    rtcSetSceneBuildQuality(scene, RTC_BUILD_QUALITY_HIGH);
    rtcCommitScene(scene);
  }
  ~Scene() {
    rtcReleaseScene(scene);
    rtcReleaseDevice(device);
  }
  Scene(const Scene&) = delete;
  Scene& operator=(const Scene&) = delete;

  float distance_mm(const Vector3f& p) const {
    RTCPointQueryContext context;
    rtcInitPointQueryContext(&context);
    RTCPointQuery query{p.x(), p.y(), p.z(), 0, std::numeric_limits<float>::infinity()};
    rtcPointQuery(scene, &query, &context, look_at_triangle, const_cast<Corners*>(&corners));
    return query.radius;
  }
};

EmbreeSurface::EmbreeSurface(const TriangleMesh& mesh, int build_threads)
    : scene_(std::make_unique<Scene>(mesh, build_threads)) {}
EmbreeSurface::~EmbreeSurface() = default;
EmbreeSurface::EmbreeSurface(EmbreeSurface&&) noexcept = default;
EmbreeSurface& EmbreeSurface::operator=(EmbreeSurface&&) noexcept = default;

std::vector<float> EmbreeSurface::distances_mm(const PointCloud& cloud) const {
  std::vector<float> distances(cloud.size());
  tbb::parallel_for(tbb::blocked_range<std::size_t>(0, cloud.size(), 1024), [&](const auto& range) {
    for (std::size_t i = range.begin(); i != range.end(); ++i)
      distances[i] = scene_->distance_mm(cloud.point_mm(i).cast<float>());
  });
  return distances;
}

}  // namespace boxfettle::bench
