#include "paper/sheet.hpp"

#include <cairo-pdf.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace boxfettle {
namespace {

// Debian's fonts-inter; the second is what fontconfig always brings along.
constexpr const char* typeface = "Inter,DejaVu Sans";

template <auto release>
struct Release {
  template <class Thing>
  void operator()(Thing* thing) const {
    release(thing);
  }
};
using Surface = std::unique_ptr<cairo_surface_t, Release<cairo_surface_destroy>>;
using Pen = std::unique_ptr<cairo_t, Release<cairo_destroy>>;
using Layout = std::unique_ptr<PangoLayout, Release<g_object_unref>>;
using Context = std::unique_ptr<PangoContext, Release<g_object_unref>>;

cairo_status_t take(void* bytes, const unsigned char* data, unsigned int length) {
  auto* const taken = static_cast<std::vector<std::byte>*>(bytes);
  const auto* const first = reinterpret_cast<const std::byte*>(data);
  taken->insert(taken->end(), first, first + length);
  return CAIRO_STATUS_SUCCESS;
}

// One line, valid UTF-8, nothing that moves the pen.
std::string printable(const std::string& text) {
  std::string plain = text;
  for (char& c : plain)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = ' ';
  const char* at = plain.c_str();
  const char* bad = nullptr;
  while (!g_utf8_validate(at, -1, &bad)) {
    plain[static_cast<std::size_t>(bad - plain.c_str())] = '?';
    at = plain.c_str();
  }
  return plain;
}

void set_colour(cairo_t* pen, const Rgb& colour) {
  cairo_set_source_rgb(pen, colour[0], colour[1], colour[2]);
}

PangoAttrList* attributes(const Words& words) {
  PangoAttrList* const list = pango_attr_list_new();
  // Figures of equal width, so that columns stand; no replacing of letters by context, so that text can be
  // found.
  pango_attr_list_insert(list, pango_attr_font_features_new("tnum=1,calt=0,liga=0"));
  pango_attr_list_insert(list,
                         pango_attr_letter_spacing_new(static_cast<int>(words.spacing_pt * PANGO_SCALE)));
  return list;
}

}  // namespace

struct Sheet::Inside {
  std::vector<std::byte> bytes;
  Surface surface;
  Pen pen;
  Context context;

  Layout layout(const Words& words) const {
    Layout layout(pango_layout_new(context.get()));
    PangoFontDescription* const font = pango_font_description_from_string(typeface);
    pango_font_description_set_absolute_size(font, words.size_pt * PANGO_SCALE);
    pango_font_description_set_weight(font, static_cast<PangoWeight>(words.weight));
    pango_layout_set_font_description(layout.get(), font);
    pango_font_description_free(font);
    PangoAttrList* const list = attributes(words);
    pango_layout_set_attributes(layout.get(), list);
    pango_attr_list_unref(list);
    if (words.width_pt > 0) {
      pango_layout_set_width(layout.get(), static_cast<int>(words.width_pt * PANGO_SCALE));
      pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
      pango_layout_set_alignment(layout.get(), words.align == Align::left    ? PANGO_ALIGN_LEFT
                                               : words.align == Align::right ? PANGO_ALIGN_RIGHT
                                                                             : PANGO_ALIGN_CENTER);
    }
    if (words.most_lines > 0) {
      pango_layout_set_height(layout.get(), -words.most_lines);
      pango_layout_set_ellipsize(layout.get(), PANGO_ELLIPSIZE_END);
    }
    pango_layout_set_text(layout.get(), printable(words.text).c_str(), -1);
    return layout;
  }
};

Sheet::Sheet(const SheetTitle& title) : inside_(std::make_unique<Inside>()) {
  inside_->surface.reset(
      cairo_pdf_surface_create_for_stream(take, &inside_->bytes, a4_width_pt, a4_height_pt));
  cairo_surface_t* const surface = inside_->surface.get();
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, printable(title.title).c_str());
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_SUBJECT, printable(title.subject).c_str());
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "Boxfettle " BOXFETTLE_VERSION);
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE,
                                 (title.date + "T00:00:00Z").c_str());
  inside_->pen.reset(cairo_create(surface));
  cairo_font_options_t* const options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  inside_->context.reset(pango_cairo_create_context(pen()));
  pango_cairo_context_set_font_options(inside_->context.get(), options);
  // Whole points are far too coarse a grid for letters on paper.
  pango_context_set_round_glyph_positions(inside_->context.get(), FALSE);
  cairo_font_options_destroy(options);
  cairo_set_line_join(pen(), CAIRO_LINE_JOIN_ROUND);
}

Sheet::~Sheet() = default;

cairo_t* Sheet::pen() const {
  return inside_->pen.get();
}

double Sheet::write(double x, double y, const Words& words) {
  const Layout layout = inside_->layout(words);
  int width = 0, height = 0;
  pango_layout_get_size(layout.get(), &width, &height);
  const double measured = static_cast<double>(width) / PANGO_SCALE;
  if (words.width_pt <= 0 && words.align == Align::right) x -= measured;
  if (words.width_pt <= 0 && words.align == Align::centre) x -= 0.5 * measured;
  set_colour(pen(), words.colour);
  cairo_move_to(pen(), x, y);
  pango_cairo_show_layout(pen(), layout.get());
  cairo_new_path(pen());
  return static_cast<double>(height) / PANGO_SCALE;
}

Extent Sheet::extent(const Words& words) const {
  const Layout layout = inside_->layout(words);
  int width = 0, height = 0;
  pango_layout_get_size(layout.get(), &width, &height);
  return {static_cast<double>(width) / PANGO_SCALE, static_cast<double>(height) / PANGO_SCALE};
}

void Sheet::rule(double x0, double y0, double x1, double y1, double width_pt, const Rgb& colour) {
  set_colour(pen(), colour);
  cairo_set_line_width(pen(), width_pt);
  cairo_move_to(pen(), x0, y0);
  cairo_line_to(pen(), x1, y1);
  cairo_stroke(pen());
}

void Sheet::fill(double x, double y, double width_pt, double height_pt, const Rgb& colour) {
  set_colour(pen(), colour);
  cairo_rectangle(pen(), x, y, width_pt, height_pt);
  cairo_fill(pen());
}

void Sheet::frame(double x, double y, double width_pt, double height_pt, double line_pt, const Rgb& colour) {
  set_colour(pen(), colour);
  cairo_set_line_width(pen(), line_pt);
  cairo_rectangle(pen(), x, y, width_pt, height_pt);
  cairo_stroke(pen());
}

void Sheet::place(double x, double y, double width_pt, double height_pt, const Picture& picture) {
  const Surface image(cairo_image_surface_create(CAIRO_FORMAT_RGB24, picture.width, picture.height));
  cairo_surface_flush(image.get());
  unsigned char* const rows = cairo_image_surface_get_data(image.get());
  const int stride = cairo_image_surface_get_stride(image.get());
  for (int row = 0; row < picture.height; ++row) {
    const auto* const from = picture.pixels.data() + static_cast<std::ptrdiff_t>(row) * picture.width;
    std::copy_n(from, picture.width,
                reinterpret_cast<std::uint32_t*>(rows + static_cast<std::ptrdiff_t>(row) * stride));
  }
  cairo_surface_mark_dirty(image.get());
  cairo_save(pen());
  cairo_translate(pen(), x, y);
  cairo_scale(pen(), width_pt / picture.width, height_pt / picture.height);
  cairo_set_source_surface(pen(), image.get(), 0, 0);
  cairo_paint(pen());
  cairo_restore(pen());
}

std::vector<std::byte> Sheet::finished() {
  cairo_show_page(pen());
  cairo_status_t status = cairo_status(pen());
  cairo_surface_finish(inside_->surface.get());
  if (status == CAIRO_STATUS_SUCCESS) status = cairo_surface_status(inside_->surface.get());
  if (status != CAIRO_STATUS_SUCCESS)
    throw std::runtime_error(std::string("the report could not be drawn: ") + cairo_status_to_string(status));
  return std::move(inside_->bytes);
}

}  // namespace boxfettle
