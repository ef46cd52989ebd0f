// One page of paper to be written and drawn on, and handed over as a PDF. Lengths in points (1/72 inch), from
// the top left corner, y downward.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

#include "paper/deviation_colours.hpp"
#include "paper/shaded_core.hpp"

typedef struct _cairo cairo_t;

namespace boxfettle {

inline constexpr double a4_width_pt = 595.276, a4_height_pt = 841.890;

namespace ink {
inline constexpr Rgb text{0.08, 0.09, 0.11};
inline constexpr Rgb quiet{0.36, 0.38, 0.41};
inline constexpr Rgb rule{0.74, 0.75, 0.77};
inline constexpr Rgb tint{0.955, 0.957, 0.962};
inline constexpr Rgb white{1, 1, 1};
}  // namespace ink

enum class Weight { regular = 400, medium = 500, strong = 600, bold = 700 };
enum class Align { left, right, centre };

struct Words {
  std::string text;  // what is no UTF-8 is shown as '?'
  double size_pt = 7.2;
  Weight weight = Weight::regular;
  Rgb colour = ink::text;
  double width_pt = 0;        // 0: on one line, as wide as it needs; else wrapped at this width
  int most_lines = 0;         // 0: as many as it needs; else cut with an ellipsis
  Align align = Align::left;  // within width_pt; about x where width_pt is 0
  double spacing_pt = 0;      // between letters
};

struct Extent {
  double width_pt, height_pt;
};

struct SheetTitle {
  std::string title, subject;
  std::string date;  // YYYY-MM-DD: the date in the PDF, so that the same content gives the same bytes
};

class Sheet {
 public:
  explicit Sheet(const SheetTitle& title);
  ~Sheet();
  Sheet(const Sheet&) = delete;
  Sheet& operator=(const Sheet&) = delete;

  // The top of the text stands at y. Returns its height.
  double write(double x, double y, const Words& words);
  Extent extent(const Words& words) const;

  void rule(double x0, double y0, double x1, double y1, double width_pt = 0.5, const Rgb& colour = ink::rule);
  void fill(double x, double y, double width_pt, double height_pt, const Rgb& colour);
  void frame(double x, double y, double width_pt, double height_pt, double line_pt, const Rgb& colour);
  void place(double x, double y, double width_pt, double height_pt, const Picture& picture);

  cairo_t* pen() const;  // for drawings that need more

  // The finished PDF; nothing may be drawn afterwards. Throws std::runtime_error when cairo reports a fault.
  std::vector<std::byte> finished();

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace boxfettle
