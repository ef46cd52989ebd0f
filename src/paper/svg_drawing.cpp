#include "paper/svg_drawing.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "reading/printed.hpp"

namespace boxfettle {
namespace {

// Control characters have no place in XML; bytes that are no UTF-8 would spoil the whole file.
std::string escaped(std::string_view text) {
  std::string safe;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    if (c == '&')
      safe += "&amp;";
    else if (c == '<')
      safe += "&lt;";
    else if (c == '>')
      safe += "&gt;";
    else if (c == '"')
      safe += "&quot;";
    else if (c < 0x20 || c == 0x7f)
      safe += '?';
    else if (c < 0x80)
      safe += static_cast<char>(c);
    else {
      const std::size_t length = c >= 0xf0 && c < 0xf5 ? 4 : c >= 0xe0 ? 3 : c >= 0xc2 ? 2 : 0;
      bool whole = length > 0 && c < 0xf5 && i + length <= text.size();
      for (std::size_t k = 1; whole && k < length; ++k)
        whole = (static_cast<unsigned char>(text[i + k]) & 0xc0) == 0x80;
      safe += whole ? std::string(text.substr(i, length)) : "?";
      if (whole) i += length - 1;
    }
  }
  return safe;
}

std::string points_text(const std::vector<SvgPoint>& points) {
  std::string text;
  for (const auto& [x, y] : points) text += printed("%.2f,%.2f ", x, y);
  return text;
}

std::string stroke_text(const Stroke& stroke) {
  std::string text =
      " stroke=\"" + std::string(stroke.colour) + printed("\" stroke-width=\"%.2f\"", stroke.width);
  if (!stroke.dashes.empty()) text += " stroke-dasharray=\"" + std::string(stroke.dashes) + "\"";
  return text;
}

std::string polygon(double x, double y, double radius, int corners, double turn, std::string_view colour) {
  std::vector<SvgPoint> points;
  for (int i = 0; i < corners; ++i) {
    const double angle = turn + 2 * std::numbers::pi * i / corners;
    points.emplace_back(x + radius * std::cos(angle), y + radius * std::sin(angle));
  }
  return "<polygon points=\"" + points_text(points) + "\" fill=\"" + std::string(colour) + "\"/>\n";
}

}  // namespace

SvgDrawing::SvgDrawing(double width, double height, std::string_view title, std::string_view description)
    : width_(width), height_(height) {
  body_ = printed(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %.0f %.0f\" width=\"%.0fpt\" "
      "height=\"%.0fpt\" "
      "role=\"img\" font-family=\"Inter, 'Helvetica Neue', Arial, sans-serif\">\n",
      width, height, width, height);
  body_ += "<title>" + escaped(title) + "</title>\n<desc>" + escaped(description) + "</desc>\n";
  box(0, 0, width, height, "#ffffff");
}

void SvgDrawing::line(double x0, double y0, double x1, double y1, const Stroke& stroke) {
  body_ += printed("<line x1=\"%.2f\" y1=\"%.2f\" x2=\"%.2f\" y2=\"%.2f\"", x0, y0, x1, y1) +
           stroke_text(stroke) + "/>\n";
}

void SvgDrawing::path(const std::vector<SvgPoint>& points, const Stroke& stroke) {
  if (points.size() < 2) return;
  body_ += "<polyline points=\"" + points_text(points) + "\" fill=\"none\" stroke-linejoin=\"round\"" +
           stroke_text(stroke) + "/>\n";
}

void SvgDrawing::area(const std::vector<SvgPoint>& outline, std::string_view colour) {
  body_ += "<polygon points=\"" + points_text(outline) + "\" fill=\"" + std::string(colour) + "\"/>\n";
}

void SvgDrawing::box(double x, double y, double width, double height, std::string_view colour) {
  body_ += printed("<rect x=\"%.2f\" y=\"%.2f\" width=\"%.2f\" height=\"%.2f\"", x, y, width, height) +
           " fill=\"" + std::string(colour) + "\"/>\n";
}

void SvgDrawing::mark(double x, double y, MarkShape shape, double size, std::string_view colour) {
  const std::string ink(colour);
  switch (shape) {
    case MarkShape::dot:
      body_ += printed("<circle cx=\"%.2f\" cy=\"%.2f\" r=\"%.2f\" fill=\"", x, y, size) + ink + "\"/>\n";
      break;
    case MarkShape::ring:
      body_ += printed("<circle cx=\"%.2f\" cy=\"%.2f\" r=\"%.2f\" fill=\"#ffffff\" stroke=\"", x, y, size) +
               ink + "\"/>\n";
      break;
    case MarkShape::square:
      body_ += polygon(x, y, 1.25 * size, 4, std::numbers::pi / 4, colour);
      break;
    case MarkShape::diamond:
      body_ += polygon(x, y, 1.5 * size, 4, 0, colour);
      break;
    case MarkShape::triangle:
      body_ += polygon(x, y, 1.4 * size, 3, -std::numbers::pi / 2, colour);
      break;
    case MarkShape::cross:
      line(x - size, y - size, x + size, y + size, {colour, 1.2});
      line(x - size, y + size, x + size, y - size, {colour, 1.2});
      break;
  }
}

void SvgDrawing::write(double x, double y, std::string_view text, const TextStyle& style) {
  constexpr std::array<std::string_view, 3> anchors{"start", "middle", "end"};
  body_ += printed("<text x=\"%.2f\" y=\"%.2f\" font-size=\"%.1f\"", x, y, style.size) + " text-anchor=\"" +
           std::string(anchors[static_cast<std::size_t>(style.anchor)]) + "\" fill=\"" +
           std::string(style.colour) + "\"";
  if (style.strong) body_ += " font-weight=\"600\"";
  if (style.over_lines) body_ += " paint-order=\"stroke\" stroke=\"#ffffff\" stroke-width=\"3\"";
  if (style.upright) body_ += printed(" transform=\"rotate(-90 %.2f %.2f)\"", x, y);
  body_ += ">" + escaped(text) + "</text>\n";
}

std::string SvgDrawing::finished() const {
  return body_ + "</svg>\n";
}

}  // namespace boxfettle
