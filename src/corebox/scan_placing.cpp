#include "corebox/scan_placing.hpp"

#include <Eigen/Geometry>
#include <Eigen/SVD>
#include <algorithm>
#include <cmath>

namespace boxfettle {
namespace {

constexpr std::string_view key = "datum_target";

void refuse_disagreement(const std::vector<DatumTarget>& targets, const BoxTable& file) {
  for (std::size_t i = 0; i < targets.size(); ++i)
    for (std::size_t j = i + 1; j < targets.size(); ++j) {
      const double design = (targets[i].at_design_mm - targets[j].at_design_mm).norm();
      const double scan = (targets[i].at_scan_mm - targets[j].at_scan_mm).norm();
      if (std::abs(design - scan) <= std::max(2.0, 0.02 * design)) continue;
      file.refuse(key,
                  targets[i].id + " and " + targets[j].id +
                      " stand farther apart, or nearer, in the scan than on the design",
                  "pick them again; scan_mm is in mm, whatever the scan file's unit");
    }
}

// The sine of the widest corner the targets make: nothing when they stand on a line.
double spread_off_a_line(const std::vector<DatumTarget>& targets) {
  Eigen::Matrix3Xd places(3, static_cast<Eigen::Index>(targets.size()));
  for (std::size_t i = 0; i < targets.size(); ++i)
    places.col(static_cast<Eigen::Index>(i)) = targets[i].at_design_mm;
  places.colwise() -= places.rowwise().mean().eval();
  const Eigen::Vector3d spread = Eigen::JacobiSVD<Eigen::MatrixXd>(places).singularValues().head<3>();
  return spread[0] > 0 ? spread[1] / spread[0] : 0;
}

}  // namespace

RigidPose scan_pose(const BoxTable& table) {
  const Eigen::Matrix<double, 9, 1> numbers = table.nine("rotation");
  const Eigen::Matrix3d given =
      Eigen::Map<const Eigen::Matrix<double, 3, 3, Eigen::RowMajor>>(numbers.data());
  if ((given * given.transpose() - Eigen::Matrix3d::Identity()).cwiseAbs().maxCoeff() > 0.01 ||
      given.determinant() < 0)
    table.refuse("rotation", "is not a rotation", "take the nine numbers a reading gives as pose.rotation");
  const Eigen::JacobiSVD<Eigen::Matrix3d> svd(given, Eigen::ComputeFullU | Eigen::ComputeFullV);
  return {svd.matrixU() * svd.matrixV().transpose(), table.triple("translation_mm")};
}

DatumTarget datum_target(const BoxTable& table) {
  return {table.text("id"), table.triple("at_mm"), table.triple("scan_mm")};
}

std::optional<RigidPose> pose_by_targets(const std::vector<DatumTarget>& targets, const BoxTable& file) {
  if (targets.empty()) return std::nullopt;
  if (targets.size() < 3)
    file.refuse(key, "there are fewer than three", "give three that do not stand on a line, or none");
  if (spread_off_a_line(targets) < 0.05) file.refuse(key, "they stand on a line", "give three that do not");
  refuse_disagreement(targets, file);
  Eigen::Matrix3Xd design(3, static_cast<Eigen::Index>(targets.size())), scan = design;
  for (Eigen::Index i = 0; i < design.cols(); ++i) {
    design.col(i) = targets[static_cast<std::size_t>(i)].at_design_mm;
    scan.col(i) = targets[static_cast<std::size_t>(i)].at_scan_mm;
  }
  const Eigen::Matrix4d pose = Eigen::umeyama(scan, design, false);
  return RigidPose{pose.topLeftCorner<3, 3>(), pose.topRightCorner<3, 1>()};
}

}  // namespace boxfettle
