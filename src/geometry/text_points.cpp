#include "geometry/text_points.hpp"

#include <array>
#include <cctype>
#include <optional>

#include "geometry/coordinate_check.hpp"
#include "geometry/number_text.hpp"
#include "geometry/point_collector.hpp"
#include "geometry/text_lines.hpp"

namespace boxfettle {
namespace {

constexpr char blanks = ' ';

// The columns of one line. Those beyond the last kept one are not looked at.
class Columns {
 public:
  static constexpr std::size_t most = 32;

  Columns(std::string_view line, char separator) {
    while (count_ < most) {
      if (separator == blanks) {
        const std::string_view word = take_word(line);
        if (word.empty()) return;
        columns_[count_++] = unquoted(word);
      } else {
        const std::size_t end = line.find(separator);
        columns_[count_++] = unquoted(trimmed(line.substr(0, end)));
        if (end == std::string_view::npos) return;
        line.remove_prefix(end + 1);
      }
    }
  }
  std::size_t size() const { return count_; }
  std::string_view operator[](std::size_t i) const { return i < count_ ? columns_[i] : std::string_view{}; }

 private:
  static std::string_view unquoted(std::string_view text) {
    const bool quotes = text.size() >= 2 && text.front() == '"' && text.back() == '"';
    return quotes ? text.substr(1, text.size() - 2) : text;
  }
  std::array<std::string_view, most> columns_;
  std::size_t count_ = 0;
};

// As number_in, with "1,5" for 1.5 where the comma is free.
std::optional<double> number_with_comma(std::string_view word, char separator) {
  const std::size_t comma = separator == ',' ? std::string_view::npos : word.find(',');
  if (comma == std::string_view::npos) return number_in(word);
  std::array<char, 64> copy;
  if (word.size() > copy.size() || word.find('.') != std::string_view::npos) return std::nullopt;
  std::copy(word.begin(), word.end(), copy.begin());
  copy[comma] = '.';
  return number_in({copy.data(), word.size()});
}

char separator_of(std::string_view line) {
  if (line.find(';') != std::string_view::npos) return ';';
  if (line.find('\t') != std::string_view::npos) return '\t';
  const std::size_t comma = line.find(',');
  if (comma == std::string_view::npos) return blanks;
  // "1,5 2,5 3,5" has decimal commas; "1, 2, 3" and "1 ,2 ,3" do not.
  const bool blank_beside =
      line.find(", ") != std::string_view::npos || line.find(" ,") != std::string_view::npos;
  return !blank_beside && Columns(line, blanks).size() >= 3 ? blanks : ',';
}

// Which columns hold what.
struct Layout {
  std::array<std::size_t, 3> place{0, 1, 2};
  std::optional<std::array<std::size_t, 3>> normal;
  bool normal_if_unit = true;  // nobody said what columns four to six are
};

// "X", "x_mm", "X [mm]", "nx" and the like, without the unit.
std::string column_name(std::string_view text) {
  std::string name;
  for (const char c : text.substr(0, text.find_first_of(" [(_")))
    name += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return name;
}

std::optional<std::array<std::size_t, 3>> columns_named(const Columns& header,
                                                        std::array<std::string_view, 3> names) {
  std::array<std::size_t, 3> found{};
  for (std::size_t n = 0; n < names.size(); ++n) {
    std::size_t i = 0;
    while (i < header.size() && column_name(header[i]) != names[n]) ++i;
    if (i == header.size()) return std::nullopt;
    found[n] = i;
  }
  return found;
}

Layout layout_of(const Columns& header) {
  Layout layout;
  if (const auto place = columns_named(header, {"x", "y", "z"})) {
    layout.place = *place;
    layout.normal = columns_named(header, {"nx", "ny", "nz"});
    layout.normal_if_unit = false;
  }
  return layout;
}

class PointLines {
 public:
  PointLines(std::string_view text, const std::string& file) : lines_(text), file_(file) {}

  SurfaceFile read() {
    bool has_line = next();
    if (has_line && is_header()) {
      layout_ = layout_of(Columns(lines_.line(), separator_of(lines_.line())));
      has_line = next();
    }
    if (!has_line) throw InputError(file_, "", "holds no points", "export the scan again");
    separator_ = separator_of(lines_.line());
    if (layout_.normal_if_unit && unit_in({3, 4, 5})) layout_.normal = {3, 4, 5};
    points_.reserve(lines_.left() + 1, layout_.normal.has_value());
    for (; has_line; has_line = next()) point();
    return {"text points", points_.take(), {}};
  }

 private:
  bool next() {
    while (lines_.next())
      if (!lines_.line().empty() && lines_.line().front() != '#' && !lines_.line().starts_with("//"))
        return true;
    return false;
  }

  bool is_header() const {
    const char separator = separator_of(lines_.line());
    return !number_with_comma(Columns(lines_.line(), separator)[0], separator);
  }

  std::optional<Eigen::Vector3d> numbers(const Columns& columns, const std::array<std::size_t, 3>& at) const {
    Eigen::Vector3d three;
    for (std::size_t i = 0; i < 3; ++i) {
      const auto value = number_with_comma(columns[at[i]], separator_);
      if (!value) return std::nullopt;
      three[static_cast<Eigen::Index>(i)] = *value;
    }
    return three;
  }

  // To the two or three digits that normals are often written with.
  bool unit_in(const std::array<std::size_t, 3>& at) const {
    const auto normal = numbers(Columns(lines_.line(), separator_), at);
    return normal && std::abs(normal->norm() - 1) < 0.01;
  }

  void point() {
    const Columns columns(lines_.line(), separator_);
    const auto point = numbers(columns, layout_.place);
    if (!point) refuse(columns);
    if (!is_place(*point)) refuse_place(*point, file_, lines_.place());
    points_.add(*point);
    if (layout_.normal && points_.normals_told()) normal(columns);
  }

  void normal(const Columns& columns) {
    const auto normal = numbers(columns, *layout_.normal);
    const bool guessed_wrong = layout_.normal_if_unit && !(normal && std::abs(normal->norm() - 1) < 0.01);
    if (!normal || guessed_wrong)
      points_.forget_normals();
    else
      points_.add_normal(*normal);
  }

  [[noreturn]] void refuse(const Columns& columns) const {
    for (const std::size_t at : layout_.place)
      if (at < columns.size() && !number_with_comma(columns[at], separator_))
        throw InputError(file_, lines_.place(), quoted(columns[at]) + " is not a number",
                         "give x, y and z in each line; begin a remark with #");
    throw InputError(file_, lines_.place(), "three numbers are due", "give x, y and z in each line");
  }

  TextLines lines_;
  const std::string& file_;
  Layout layout_;
  char separator_ = blanks;
  PointCollector points_;
};

}  // namespace

SurfaceFile read_text_points(std::span<const std::byte> bytes, const std::string& file) {
  return PointLines({reinterpret_cast<const char*>(bytes.data()), bytes.size()}, file).read();
}

}  // namespace boxfettle
