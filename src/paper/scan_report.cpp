#include "paper/scan_report.hpp"

#include <algorithm>

#include "paper/report_part.hpp"
#include "paper/report_words.hpp"

namespace boxfettle {
namespace {

constexpr double margin_x = 40.138, margin_top = 32, margin_bottom = 26;  // leaves 515 points of width
constexpr double head_height = 52, between = 11;
constexpr double least_middle = 166, most_middle = 214;  // section beside halves and surface figures
constexpr double surface_strip_height = 40;              // without a box: the surface figures alone
constexpr double least_views = 190, most_views = 330;

// How the page's height is shared out: findings get what they ask for as far as the views can give it; what
// the views do not need goes to the section.
struct Heights {
  double views, middle, findings, foot;
  std::size_t shown;
};

Heights shared_out(const Sheet& sheet, const ReportSubject& subject, const TwoViews& views,
                   double width) {
  Heights h{};
  const bool halves = subject.box != nullptr;
  h.middle = halves ? least_middle : surface_strip_height;
  h.foot = foot_height(sheet, subject, width);
  const double room =
      a4_height_pt - margin_top - margin_bottom - head_height - h.middle - h.foot - 4 * between;
  h.shown = findings_that_fit(sheet, subject, room - least_views);
  h.findings = findings_height(sheet, subject, h.shown);
  const auto [beside, over] = views_height(subject, views, width);
  const double wanted = halves ? std::clamp(beside, least_views, most_views) : std::max(beside, over);
  h.views = std::min(room - h.findings, wanted);
  if (halves) h.middle = std::min(most_middle, h.middle + room - h.findings - h.views);
  return h;
}

void draw_middle(Sheet& sheet, const ReportSubject& subject, const Ground& ground) {
  if (subject.box == nullptr) return draw_surface_figures(sheet, subject, ground);
  constexpr double gutter = 18, surface_height = 62;
  const double width = 0.5 * (ground.width - gutter);
  const double right = ground.right() - width;
  const Ground left_part{ground.x, ground.y, width, ground.height};
  const Ground right_part{right, ground.y, width, ground.height - surface_height};
  if (subject.of_half()) {
    draw_parting_face(sheet, subject, left_part);
    draw_dowels(sheet, subject, right_part);
  } else {
    draw_section(sheet, subject, left_part);
    draw_halves(sheet, subject, right_part);
  }
  draw_surface_figures(sheet, subject,
                       {right, ground.bottom() - surface_height + 3, width, surface_height - 3});
}

// Of a core: from the lower into the upper half.
Eigen::Vector3d out_of_tool(ScanSubject of, const CoreBox& box) {
  return of == ScanSubject::half_upper ? Eigen::Vector3d(-box.parting.normal) : box.parting.normal;
}

}  // namespace

std::vector<std::byte> scan_report(const ScanReading& reading, const CoreBox* box, const ReportFacts& facts) {
  const ReportSubject subject{reading, box, facts};
  const std::string of = subject.of_half() ? "scan of the " + subject.what() : "scan of a core";
  Sheet sheet({box != nullptr ? box->id + ": " + of : "Scan of a core",
               "Verdict: " + capitals(name(reading.verdict)), facts.date});
  const double width = a4_width_pt - 2 * margin_x;
  const TwoViews views =
      chosen_views(reading, box != nullptr ? out_of_tool(reading.of, *box) : thinnest_direction(reading.surface));
  const Heights h = shared_out(sheet, subject, views, width);
  double y = margin_top;
  draw_head(sheet, subject, {margin_x, y, width, head_height});
  y += head_height + between;
  const std::vector<std::string> seen_on =
      draw_views(sheet, subject, views, h.shown, {margin_x, y, width, h.views});
  y += h.views + between;
  draw_middle(sheet, subject, {margin_x, y, width, h.middle});
  y += h.middle + between;
  draw_findings(sheet, subject, h.shown, seen_on, {margin_x, y, width, h.findings});
  draw_foot(sheet, subject, {margin_x, a4_height_pt - margin_bottom - h.foot, width, h.foot});
  return sheet.finished();
}

}  // namespace boxfettle
