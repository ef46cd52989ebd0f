// What every part of the scan report is given, and the ground it may cover.
#pragma once

#include "paper/scan_report.hpp"
#include "paper/sheet.hpp"
#include "paper/view_choice.hpp"

namespace boxfettle {

struct ReportSubject {
  const ScanReading& reading;
  const CoreBox* box;  // may be null
  const ReportFacts& facts;

  bool of_half() const { return reading.of != ScanSubject::core; }  // then there is a box
  // "core", "upper half" or "lower half".
  std::string what() const {
    return reading.of == ScanSubject::core ? "core" : reading.of == ScanSubject::half_upper ? "upper half" : "lower half";
  }
  double surface_limit_mm() const { return box != nullptr ? box->limits.surface_mm : Limits{}.surface_mm; }
};

struct Ground {
  double x, y, width, height;
  double right() const { return x + width; }
  double bottom() const { return y + height; }
};

// Signs that differ in shape, not in colour alone: circle with a tick, triangle, octagon, diamond.
void draw_sign(Sheet& sheet, ScanVerdict verdict, double centre_x, double centre_y, double radius);
void draw_sign(Sheet& sheet, Severity severity, double centre_x, double centre_y, double radius);

// A finding's number in a disc, as on the views and in the table.
void draw_number(Sheet& sheet, std::size_t number, double centre_x, double centre_y);

void draw_head(Sheet& sheet, const ReportSubject& subject, const Ground& ground);

// Two views, side by side or one over the other, whichever shows them larger, with the legend under
// them. Returns for each of the first `numbered` findings the view
// it is marked on: 'A', 'B', or a dash when neither shows it.
std::vector<std::string> draw_views(Sheet& sheet, const ReportSubject& subject, const TwoViews& views,
                                    std::size_t numbered, const Ground& ground);

// The height in which both views, side by side, fill the width they have; and one over the other.
struct ViewsHeight {
  double beside, over;
};
ViewsHeight views_height(const ReportSubject& subject, const TwoViews& views, double width);

void draw_section(Sheet& sheet, const ReportSubject& subject, const Ground& ground);  // needs a box
void draw_halves(Sheet& sheet, const ReportSubject& subject, const Ground& ground);   // needs a box
void draw_parting_face(Sheet& sheet, const ReportSubject& subject, const Ground& ground);  // of a half
void draw_dowels(Sheet& sheet, const ReportSubject& subject, const Ground& ground);        // of a half
void draw_surface_figures(Sheet& sheet, const ReportSubject& subject, const Ground& ground);

// How many findings, from the first, have room in this height.
std::size_t findings_that_fit(const Sheet& sheet, const ReportSubject& subject, double height);
double findings_height(const Sheet& sheet, const ReportSubject& subject, std::size_t shown);
void draw_findings(Sheet& sheet, const ReportSubject& subject, std::size_t shown,
                   const std::vector<std::string>& seen_on, const Ground& ground);

double foot_height(const Sheet& sheet, const ReportSubject& subject, double width);
void draw_foot(Sheet& sheet, const ReportSubject& subject, const Ground& ground);

// A heading over a part, with a remark at its right end; returns the height it takes.
double draw_heading(Sheet& sheet, const std::string& text, double x, double y, double width,
                    const std::string& remark = {});

}  // namespace boxfettle
