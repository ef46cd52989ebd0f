// A drawing for paper and page as one SVG text. Lengths in points, from the top left corner, y downward.
// Everything drawn says what it is by shape or words as well as by colour.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace boxfettle {

namespace svg_ink {
inline constexpr std::string_view text = "#14171c", quiet = "#5c6169", rule = "#c9ccd1", tint = "#f1f2f4";
inline constexpr std::string_view data = "#1f5a8c", limit = "#8a5a00", signal = "#b3261e", band = "#dde8f2";
}  // namespace svg_ink

struct Stroke {
  std::string_view colour = svg_ink::data;
  double width = 1;
  std::string_view dashes = "";  // "4 3"; empty: drawn through
};

enum class MarkShape { dot, ring, square, diamond, cross, triangle };

enum class TextAnchor { start, middle, end };
struct TextStyle {
  double size = 10;
  TextAnchor anchor = TextAnchor::start;
  std::string_view colour = svg_ink::text;
  bool strong = false;
  bool upright = false;  // turned to read from below
  bool over_lines = false;  // keeps a white rim, so that it can be read across what was drawn before
};

using SvgPoint = std::pair<double, double>;

class SvgDrawing {
 public:
  // `title` and `description` are what a screen reader says.
  SvgDrawing(double width, double height, std::string_view title, std::string_view description);

  void line(double x0, double y0, double x1, double y1, const Stroke& stroke);
  void path(const std::vector<SvgPoint>& points, const Stroke& stroke);
  void area(const std::vector<SvgPoint>& outline, std::string_view colour);
  void box(double x, double y, double width, double height, std::string_view colour);
  void mark(double x, double y, MarkShape shape, double size, std::string_view colour);
  void write(double x, double y, std::string_view text, const TextStyle& style = {});

  double width() const { return width_; }
  double height() const { return height_; }
  std::string finished() const;  // the whole file

 private:
  double width_, height_;
  std::string body_;
};

}  // namespace boxfettle
