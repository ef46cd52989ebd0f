#include <cairo.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "paper/finding_marks.hpp"
#include "paper/report_part.hpp"
#include "paper/report_words.hpp"
#include "paper/shaded_core.hpp"
#include "paper/view_choice.hpp"

namespace boxfettle {
namespace {

constexpr double between_views = 11, caption_height = 14, legend_height = 27;
constexpr double label_room = 37;  // on each side of a picture
constexpr double labels_apart = 12.5;
constexpr int fine_per_point = 8;  // drawn twice as fine as printed: 4 x 72 = 288 pixels to the inch

Ground picture_of(const Ground& cell) {
  return {cell.x + label_room, cell.y + caption_height, cell.width - 2 * label_room,
          cell.height - caption_height - 3};
}

CoreView view_into(const Ground& cell, const TriangleMesh& surface, const Eigen::Vector3d& toward_eye,
                   const Eigen::Vector3d& upward) {
  const Ground picture = picture_of(cell);
  const int width = 2 * static_cast<int>(picture.width * fine_per_point / 2);
  const int height = 2 * static_cast<int>(picture.height * fine_per_point / 2);
  return seen_core(surface, fitted_frame(surface, toward_eye, upward, width, height));
}

void draw_leader(Sheet& sheet, double x0, double y0, double x1, double y1) {
  cairo_t* const pen = sheet.pen();
  for (const auto& [width, colour] : {std::pair{2.0, ink::white}, {0.6, ink::text}}) {
    cairo_set_source_rgb(pen, colour[0], colour[1], colour[2]);
    cairo_set_line_width(pen, width);
    cairo_move_to(pen, x0, y0);
    cairo_line_to(pen, x1, y1);
    cairo_stroke(pen);
  }
  cairo_arc(pen, x1, y1, 1.7, 0, 2 * std::numbers::pi);
  cairo_set_source_rgb(pen, 1, 1, 1);
  cairo_fill_preserve(pen);
  cairo_set_source_rgb(pen, ink::text[0], ink::text[1], ink::text[2]);
  cairo_set_line_width(pen, 0.7);
  cairo_stroke(pen);
}

struct Label {
  std::size_t finding;
  double at_x, at_y;  // on the page, where it points to
};

void draw_labels(Sheet& sheet, const ReportSubject& subject, const std::vector<Label>& labels, bool left,
                 const Ground& cell) {
  std::vector<double> wanted;
  for (const Label& label : labels) wanted.push_back(label.at_y);
  const std::vector<double> y =
      spread_labels(wanted, labels_apart, cell.y + caption_height + 8, cell.bottom() - 9);
  for (std::size_t i = 0; i < labels.size(); ++i) {
    const double disc = left ? cell.x + label_room - 7 : cell.right() - label_room + 7;
    draw_leader(sheet, disc, y[i], labels[i].at_x, labels[i].at_y);
    draw_number(sheet, labels[i].finding + 1, disc, y[i]);
    Words depth{.text = depth_label(subject.reading.findings[labels[i].finding]),
                .size_pt = 6.6,
                .weight = Weight::strong,
                .align = left ? Align::right : Align::left};
    sheet.write(left ? disc - 6.5 : disc + 6.5, y[i] - 0.5 * sheet.extent(depth).height_pt, depth);
  }
}

void draw_marks(Sheet& sheet, const ReportSubject& subject, const std::vector<Mark>& marks,
                const CoreView& view, const Ground& cell) {
  const Ground picture = picture_of(cell);
  std::vector<Label> left, right;
  for (const Mark& mark : marks) {
    const Label label{mark.finding, picture.x + mark.at_px.x() / view.frame.width * picture.width,
                      picture.y + mark.at_px.y() / view.frame.height * picture.height};
    (label.at_x < cell.x + 0.5 * cell.width ? left : right).push_back(label);
  }
  draw_labels(sheet, subject, left, true, cell);
  draw_labels(sheet, subject, right, false, cell);
}

void draw_cell(Sheet& sheet, const char* letter, const std::string& caption, const Picture& picture,
               const Ground& cell) {
  sheet.frame(cell.x, cell.y, cell.width, cell.height, 0.5, ink::rule);
  sheet.write(cell.x + 5, cell.y + 3.5, {.text = letter, .size_pt = 8, .weight = Weight::bold});
  sheet.write(cell.x + 15, cell.y + 4.2, {.text = caption, .size_pt = 7, .colour = ink::quiet});
  const Ground ground = picture_of(cell);
  sheet.place(ground.x, ground.y, ground.width, ground.height, picture);
}

void draw_ticks(Sheet& sheet, const ColourScale& scale, const Ground& bar) {
  const int decimals = scale.range_mm < 0.3 ? 3 : 2;
  const auto at = [&](double value) { return bar.x + bar.width * (0.5 + 0.5 * value / scale.range_mm); };
  const bool crowded = at(scale.limit_mm) - at(0) < 24;
  const auto tick = [&](double value, Align align) {
    const double aside = align == Align::left ? -2 : align == Align::right ? 2 : 0;
    sheet.rule(at(value), bar.bottom() - 2, at(value), bar.bottom() + 2, 0.7, ink::text);
    sheet.write(at(value) + aside, bar.bottom() + 2,
                {.text = value == 0 ? "0" : signed_figure(value, decimals), .size_pt = 6.4, .align = align});
  };
  tick(-scale.range_mm, Align::centre);
  tick(scale.range_mm, Align::centre);
  tick(-scale.limit_mm, crowded ? Align::right : Align::centre);
  tick(scale.limit_mm, crowded ? Align::left : Align::centre);
  if (!crowded) tick(0, Align::centre);
}

void hatch(Sheet& sheet, const Ground& swatch) {
  cairo_t* const pen = sheet.pen();
  sheet.fill(swatch.x, swatch.y, swatch.width, swatch.height, {0.965, 0.955, 0.90});
  cairo_save(pen);
  cairo_rectangle(pen, swatch.x, swatch.y, swatch.width, swatch.height);
  cairo_clip(pen);
  for (double x = swatch.x - swatch.height; x < swatch.right(); x += 3)
    sheet.rule(x, swatch.bottom(), x + swatch.height, swatch.y, 0.9, {0.47, 0.45, 0.40});
  cairo_restore(pen);
  sheet.frame(swatch.x, swatch.y, swatch.width, swatch.height, 0.5, ink::rule);
}

void draw_legend(Sheet& sheet, const ColourScale& scale, bool of_half, const Ground& ground) {
  constexpr int steps = 240;
  const Ground bar{ground.x + 116, ground.y + 5, 236, 9};
  for (int i = 0; i < steps; ++i) {
    const double deviation = ((2 * (i + 0.5)) / steps - 1) * scale.range_mm;
    sheet.fill(bar.x + bar.width * i / steps, bar.y, bar.width / steps + 0.3, bar.height,
               colour_of(deviation, scale));
  }
  sheet.frame(bar.x, bar.y, bar.width, bar.height, 0.5, ink::text);
  draw_ticks(sheet, scale, bar);
  const auto beside = [&](double x, Align align, const char* text, const char* more) {
    sheet.write(x, bar.y - 3.5, {.text = text, .size_pt = 6.6, .weight = Weight::strong, .align = align});
    sheet.write(x, bar.y + 4.5, {.text = more, .size_pt = 6.2, .colour = ink::quiet, .align = align});
  };
  beside(bar.x - 8, Align::right, of_half ? "\u2212 metal too much" : "\u2212 inside: sand is missing",
         "deviation in mm");
  beside(bar.right() + 8, Align::left, of_half ? "+ metal is missing" : "+ outside: sand too much",
         "grey: within the limit");
  const Ground swatch{ground.right() - 60, bar.y, 16, 9};
  hatch(sheet, swatch);
  sheet.write(swatch.right() + 4, swatch.y - 0.5,
              {.text = "not seen", .size_pt = 6.6, .weight = Weight::strong});
}

// As on the page: 5 in 1,000 vertices may lie beyond the deepest colour.
double usual_size_mm(const std::vector<float>& deviation_mm) {
  std::vector<float> sizes;
  for (const float d : deviation_mm)
    if (!std::isnan(d)) sizes.push_back(std::abs(d));
  if (sizes.empty()) return 0;
  const auto at = sizes.begin() + static_cast<std::ptrdiff_t>(0.995 * static_cast<double>(sizes.size() - 1));
  std::nth_element(sizes.begin(), at, sizes.end());
  return static_cast<double>(*at);
}

double largest_mm(const ScanReading& reading) {
  double largest = usual_size_mm(reading.vertex_deviation_mm);
  for (const Finding& f : reading.findings)
    if (!f.vertices.empty()) largest = std::max(largest, std::abs(f.depth_mm));
  return largest;
}

// Single vertices without points among seen ones take what their neighbours say: a speck of hatching says
// nothing of a core.
std::vector<float> without_specks(const TriangleMesh& mesh, const std::vector<float>& deviation_mm) {
  std::vector<float> sum(mesh.vertices.size(), 0), seen(mesh.vertices.size(), 0),
      all(mesh.vertices.size(), 0);
  for (const Triangle& t : mesh.triangles)
    for (std::size_t k = 0; k < 3; ++k) {
      const float beside = deviation_mm[t[(k + 1) % 3]];  // each neighbour once, on a closed surface
      all[t[k]] += 1;
      if (std::isnan(beside)) continue;
      sum[t[k]] += beside;
      seen[t[k]] += 1;
    }
  std::vector<float> filled = deviation_mm;
  for (std::size_t v = 0; v < filled.size(); ++v)
    if (std::isnan(filled[v]) && seen[v] > 0.7f * all[v]) filled[v] = sum[v] / seen[v];
  return filled;
}

// The finding each vertex lies in, counted from 1, the hardest where several meet; 0 = none. What was not
// seen is hatched and needs no rim.
std::vector<std::uint16_t> finding_of_vertex(const ScanReading& reading, std::size_t numbered) {
  std::vector<std::uint16_t> finding(reading.surface.vertices.size(), 0);
  for (std::size_t i = numbered; i-- > 0;)
    if (reading.findings[i].kind != FindingKind::unseen)
      for (const std::uint32_t v : reading.findings[i].vertices)
        finding[v] = static_cast<std::uint16_t>(i + 1);
  return finding;
}

// Width and height, upright, of the larger of the two views.
Eigen::Vector2d larger_view_mm(const TriangleMesh& surface, const TwoViews& views) {
  const ViewFrame frame = fitted_frame(surface, views.first_to_eye, views.upward, 100, 100);
  const ViewFrame other = fitted_frame(surface, views.second_to_eye, views.upward, 100, 100);
  Eigen::Vector2d larger(1e-6, 1e-6);
  for (const ViewFrame& one : {frame, other}) {
    Eigen::Vector2d low(1e300, 1e300), high(-1e300, -1e300);
    for (const Eigen::Vector3d& v : surface.vertices) {
      const Eigen::Vector2d at(one.right.dot(v), one.up.dot(v));
      low = low.cwiseMin(at);
      high = high.cwiseMax(at);
    }
    larger = larger.cwiseMax(high - low);
  }
  return larger;
}

struct Cells {
  Ground first, second;
};

// Side by side, or one over the other where that shows the core larger.
Cells arranged(const TriangleMesh& surface, const TwoViews& views, const Ground& ground) {
  const double width = 0.5 * (ground.width - between_views), height = 0.5 * (ground.height - between_views);
  const Cells beside{{ground.x, ground.y, width, ground.height},
                     {ground.right() - width, ground.y, width, ground.height}};
  const Cells over{{ground.x, ground.y, ground.width, height},
                   {ground.x, ground.bottom() - height, ground.width, height}};
  const Eigen::Vector2d size = larger_view_mm(surface, views);
  const auto scale = [&](const Cells& cells) {
    const Ground picture = picture_of(cells.first);
    return std::min(picture.width / size.x(), picture.height / size.y());
  };
  return scale(over) > scale(beside) ? over : beside;
}

struct Captions {
  const char *first, *second;
};

Captions captions(const ReportSubject& subject) {
  if (subject.of_half()) return {"into the half, from one side", "into the half, from the opposite side"};
  if (subject.box == nullptr) return {"from one side", "from the other side"};
  return {"from above: the upper half toward you", "from below, the other way: the lower half toward you"};
}

}  // namespace

ViewsHeight views_height(const ReportSubject& subject, const TwoViews& views, double width) {
  const Eigen::Vector2d size = larger_view_mm(subject.reading.surface, views);
  const double beside = 0.5 * (width - between_views) - 2 * label_room, over = width - 2 * label_room;
  const double around = caption_height + 12;
  return {beside * size.y() / size.x() + around + legend_height,
          2 * (over * size.y() / size.x() + around) + between_views + legend_height};
}

std::vector<std::string> draw_views(Sheet& sheet, const ReportSubject& subject, const TwoViews& views,
                                    std::size_t numbered, const Ground& ground) {
  const ScanReading& reading = subject.reading;
  const auto [cell_a, cell_b] =
      arranged(reading.surface, views, {ground.x, ground.y, ground.width, ground.height - legend_height});
  const ColourScale scale = colour_scale(subject.surface_limit_mm(), largest_mm(reading));

  const CoreView view_a = view_into(cell_a, reading.surface, views.first_to_eye, views.upward);
  const CoreView view_b = view_into(cell_b, reading.surface, views.second_to_eye, views.upward);
  const std::vector<std::uint16_t> finding = finding_of_vertex(reading, numbered);
  const std::vector<float> shown_mm = without_specks(reading.surface, reading.vertex_deviation_mm);
  const auto picture = [&](const CoreView& view) {
    return shaded_core(reading.surface, {shown_mm, finding, scale}, view);
  };
  const auto [caption_a, caption_b] = captions(subject);
  draw_cell(sheet, "A", caption_a, picture(view_a), cell_a);
  draw_cell(sheet, "B", caption_b, picture(view_b), cell_b);
  const MarksOfViews marks = marks_on(view_a, view_b, reading, numbered);
  draw_marks(sheet, subject, marks.first, view_a, cell_a);
  draw_marks(sheet, subject, marks.second, view_b, cell_b);
  draw_legend(sheet, scale, subject.of_half(), {ground.x, ground.bottom() - legend_height, ground.width, legend_height});

  std::vector<std::string> seen_on(numbered, "\u2013");
  for (const Mark& mark : marks.first) seen_on[mark.finding] = "A";
  for (const Mark& mark : marks.second) seen_on[mark.finding] = "B";
  return seen_on;
}

}  // namespace boxfettle
