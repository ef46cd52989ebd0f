// The play of dowels against a search through the exact constraints that knows nothing of corners, arcs or
// convexity.
#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <functional>
#include <numbers>

#include "closing/dowel_play.hpp"
#include "closing/invented_dowels.hpp"

namespace boxfettle {
namespace {

using Eigen::Vector2d;
using std::numbers::pi;

// The constraints once more, written by coordinates: a pin's centre, carried into the bush's frame.
double room_left_mm(const std::vector<Dowel>& dowels, double x, double y, double angle) {
  double least = 1e300;
  for (const Dowel& d : dowels) {
    const Vector2d bush = d.bush_at_parting_mm.value_or(d.at_parting_mm);
    const double dx = d.at_parting_mm.x() - x, dy = d.at_parting_mm.y() - y;
    double u = std::cos(angle) * dx + std::sin(angle) * dy - bush.x();
    double v = -std::sin(angle) * dx + std::cos(angle) * dy - bush.y();
    if (d.kind == Dowel::Bush::slot) {
      const double along = u * d.slot_axis.x() + v * d.slot_axis.y();
      const double across = -u * d.slot_axis.y() + v * d.slot_axis.x();
      const double reach = d.slot_length_mm ? (*d.slot_length_mm - d.bush_mm) / 2 : 1e9;
      u = std::abs(along) > reach ? std::abs(along) - reach : 0;
      v = across;
    }
    least = std::min(least, (d.bush_mm - d.pin_mm) / 2 - std::hypot(u, v));
  }
  return least;
}

double shift_mm(double x, double y, double angle, const Vector2d& place) {
  return std::hypot(std::cos(angle) * place.x() - std::sin(angle) * place.y() + x - place.x(),
                    std::sin(angle) * place.x() + std::cos(angle) * place.y() + y - place.y());
}

// Largest value of `height` on [low, high], by looking everywhere and then closer and closer about the best.
double by_zooming(const std::function<double(double)>& height, double low, double high, int looks,
                  int zooms) {
  double best = -1e300, best_at = 0.5 * (low + high), middle = best_at, width = 0.5 * (high - low);
  for (int zoom = 0; zoom < zooms; ++zoom) {
    const int steps = zoom == 0 ? looks : 8;
    for (int i = 0; i <= steps; ++i) {
      const double at = middle + width * (2.0 * i / steps - 1);
      const double here = height(at);
      if (here > best) {
        best = here;
        best_at = at;
      }
    }
    middle = best_at;
    width *= zoom == 0 ? 2.0 / looks : 0.5;
  }
  return best;
}

// The move with the most room at one angle, by a pattern search.
Vector2d inner_move(const std::vector<Dowel>& dowels, double angle) {
  const Dowel& first = dowels.front();
  const Vector2d bush = first.bush_at_parting_mm.value_or(first.at_parting_mm);
  Vector2d at = first.at_parting_mm - Eigen::Rotation2Dd(angle) * bush;
  double room = room_left_mm(dowels, at.x(), at.y(), angle);
  for (double step = 0.2; step > 1e-10; step /= 2)
    for (bool better = true; better;) {
      better = false;
      for (int k = 0; k < 16; ++k) {
        const Vector2d next = at + step * Vector2d(std::cos(k * pi / 8), std::sin(k * pi / 8));
        const double there = room_left_mm(dowels, next.x(), next.y(), angle);
        if (there <= room) continue;
        room = there;
        at = next;
        better = true;
      }
    }
  return at;
}

// The shift at a place when the half is moved from `inside` as far as it goes in one direction.
double at_border_mm(const std::vector<Dowel>& dowels, const Vector2d& place, const Vector2d& inside,
                    double angle, double direction) {
  const Vector2d along(std::cos(direction), std::sin(direction));
  double low = 0, high = 50;
  for (int step = 0; step < 50; ++step) {
    const double middle = (low + high) / 2;
    const Vector2d at = inside + middle * along;
    (room_left_mm(dowels, at.x(), at.y(), angle) >= 0 ? low : high) = middle;
  }
  return shift_mm(inside.x() + low * along.x(), inside.y() + low * along.y(), angle, place);
}

double searched_worst_mm(const std::vector<Dowel>& dowels, const Vector2d& place, Span angles) {
  const auto at_angle = [&](double angle) {
    const Vector2d inside = inner_move(dowels, angle);
    if (room_left_mm(dowels, inside.x(), inside.y(), angle) < 0) return -1.0;
    return by_zooming([&](double direction) { return at_border_mm(dowels, place, inside, angle, direction); },
                      0, 2 * pi, 90, 14);
  };
  return by_zooming(at_angle, angles.low, angles.high, 40, 14);
}

std::vector<std::vector<Dowel>> boxes() {
  std::vector<std::vector<Dowel>> boxes{
      {round_pin(-140, 0, 12, 12.05), round_pin(140, 0, 12, 12.08)},
      {round_pin(-140, 20, 12, 12.30), slotted(140, -35, 12, 12.12, {1, 0.2}, 20)},
      {round_pin(-80, -60, 10, 10.06), round_pin(80, -60, 10, 10.10), round_pin(0, 90, 12, 12.16)},
      {round_pin(-80, -60, 10, 10.5), round_pin(85, -60, 10, 10.4), round_pin(0, 90, 12, 12.6),
       slotted(10, 70, 8, 8.3, {0, 1}, 12)},
      {slotted(-100, 0, 10, 10.1, {1, 1}, 14), slotted(100, 0, 10, 10.05, {1, -1}, 14),
       round_pin(0, 80, 10, 10.4)},
      {round_pin(-140, 0, 12, 12.05), round_pin(140, 0, 12, 12.05)}};
  boxes.back()[1].bush_at_parting_mm = Vector2d(140.03, 0.01);
  return boxes;
}

TEST(DowelPlaySurvey, IsWhatASearchThroughTheExactConstraintsFinds) {
  for (const std::vector<Dowel>& dowels : boxes()) {
    const DowelPlay play(dowels);
    ASSERT_TRUE(play.held());
    for (const Vector2d& place : {Vector2d(0, 0), Vector2d(60, 35), Vector2d(-190, 130)}) {
      const WorstShift worst = play.worst_at(place);
      // What is claimed can happen: the position obeys every pin, and shifts the place by as much.
      const HalfShift& shift = worst.shift;
      EXPECT_GT(room_left_mm(dowels, shift.move_mm.x(), shift.move_mm.y(), shift.angle_rad), -1e-8);
      EXPECT_NEAR(shift_mm(shift.move_mm.x(), shift.move_mm.y(), shift.angle_rad, place), worst.mm, 1e-9);
      // And nothing worse can.
      EXPECT_NEAR(worst.mm, searched_worst_mm(dowels, place, play.angle_rad()), 1e-6)
          << dowels.size() << " dowels, at " << place.transpose();
    }
  }
}

TEST(DowelPlaySurvey, TheSpanOfAnglesEndsWhereNoMoveIsAllowedAnyMore) {
  for (const std::vector<Dowel>& dowels : boxes()) {
    const DowelPlay play(dowels);
    const Vector2d about = play.worst_at({0, 0}).shift.move_mm;
    const auto room = [&](double angle) {
      return by_zooming(
          [&](double x) {
            return by_zooming([&](double y) { return room_left_mm(dowels, x, y, angle); }, about.y() - 1,
                              about.y() + 1, 40, 24);
          },
          about.x() - 1, about.x() + 1, 40, 24);
    };
    const double step = 1e-6;  // of angle: 0.0002 mm at the farthest pin
    for (const auto& [end, out] : {std::pair{play.angle_rad().low, -1}, {play.angle_rad().high, 1}}) {
      EXPECT_GE(room(end - out * step), 0);
      EXPECT_LT(room(end + out * step), 0);
    }
  }
}

}  // namespace
}  // namespace boxfettle
