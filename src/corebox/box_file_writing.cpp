#include <charconv>

#include "corebox/box_file.hpp"

namespace boxfettle {
namespace {

std::string quoted(std::string_view text) {
  constexpr std::string_view hex = "0123456789ABCDEF";
  std::string quoted = "\"";
  for (const char c : text) {
    const auto u = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\')
      (quoted += '\\') += c;
    else if (u < 0x20 || u == 0x7f)
      ((quoted += "\\u00") += hex[u >> 4]) += hex[u & 15];
    else
      quoted += c;
  }
  return quoted += '"';
}

// The shortest digits that read back to the same number.
std::string shown(double value) {
  char digits[32];
  return {digits, std::to_chars(digits, digits + sizeof digits, value).ptr};
}

class TomlLines {
 public:
  void heading(std::string_view name) { (text_ += text_.empty() ? "[" : "\n[") += std::string(name) + "]\n"; }
  void part(std::string_view name) { text_ += "\n[[" + std::string(name) + "]]\n"; }
  void put(std::string_view key, std::string_view text) { line(key, quoted(text)); }
  void put(std::string_view key, double value) { line(key, shown(value)); }
  template <int N>
  void put(std::string_view key, const Eigen::Matrix<double, N, 1>& numbers) {
    std::string list = "[";
    for (int i = 0; i < N; ++i) list += (i == 0 ? "" : ", ") + shown(numbers[i]);
    line(key, list + "]");
  }
  void put_unless_empty(std::string_view key, std::string_view text) {
    if (!text.empty()) put(key, text);
  }
  template <typename Value>
  void put_if_present(std::string_view key, const std::optional<Value>& value) {
    if (value) put(key, *value);
  }
  std::string take() { return std::move(text_); }

 private:
  void line(std::string_view key, const std::string& value) {
    text_ += std::string(key) + " = " + value + "\n";
  }
  std::string text_;
};

void head(TomlLines& toml, const CoreBox& box) {
  toml.heading("box");
  toml.put("id", box.id);
  toml.put_unless_empty("name", box.name);
  toml.put("process", name(box.process));
  toml.put("material", name(box.material));
  toml.put_unless_empty("design", box.design_file);
  toml.put("design_unit", name(box.design_unit));
  toml.put("temperature_C", box.temperature_C);
  toml.heading("parting");
  toml.put("point_mm", box.parting.point_mm);
  toml.put("normal", box.parting.normal);
  toml.heading("limits");
  if (box.limits.casting_grade.empty())
    toml.put("surface_mm", box.limits.surface_mm);
  else
    toml.put("casting_grade", box.limits.casting_grade);
  toml.put("mismatch_mm", box.limits.mismatch_mm);
  toml.put("gap_mm", box.limits.gap_mm);
  toml.put("weight_percent", box.limits.weight_percent);
}

void put(TomlLines& toml, const Dowel& dowel) {
  toml.part("dowel");
  toml.put("id", dowel.id);
  toml.put("at_mm", dowel.at_parting_mm);
  toml.put("pin_mm", dowel.pin_mm);
  toml.put("bush_mm", dowel.bush_mm);
  toml.put("kind", dowel.kind == Dowel::Bush::round ? "round" : "slot");
  toml.put("slot_axis", dowel.slot_axis);
  toml.put_if_present("slot_length_mm", dowel.slot_length_mm);
  toml.put_if_present("bush_at_mm", dowel.bush_at_parting_mm);
}

void put(TomlLines& toml, const WatchPoint& point) {
  toml.part("watch_point");
  toml.put("id", point.id);
  toml.put("at_mm", point.at_parting_mm);
}

void put(TomlLines& toml, const GapReading& reading) {
  toml.part("gap_reading");
  toml.put("at_mm", reading.at_parting_mm);
  toml.put("clamped_mm", reading.clamped_mm);
  toml.put_if_present("unclamped_mm", reading.unclamped_mm);
}

void put(TomlLines& toml, const Clamp& clamp) {
  toml.part("clamp");
  toml.put("id", clamp.id);
  toml.put("at_mm", clamp.at_parting_mm);
  toml.put("kind", clamp.kind == Clamp::Kind::bolt ? "bolt" : "toggle");
  toml.put_unless_empty("thread", clamp.thread);
  toml.put_unless_empty("class", clamp.strength_class);
  toml.put("torque_Nm", clamp.torque_Nm);
  toml.put("force_N", clamp.force_N);
}

void put(TomlLines& toml, const Vent& vent) {
  toml.part("vent");
  toml.put("id", vent.id);
  toml.put("at_mm", vent.at_design_mm);
  toml.put("diameter_mm", vent.diameter_mm);
  toml.put("open_fraction", vent.open_fraction);
  toml.put("plugged", vent.plugged);
  toml.put("half", name(vent.half));
}

void put(TomlLines& toml, const BlowInlet& inlet) {
  toml.part("blow");
  toml.put("id", inlet.id);
  toml.put("at_mm", inlet.at_design_mm);
  toml.put("diameter_mm", inlet.diameter_mm);
}

void put(TomlLines& toml, const LoosePiece& piece) {
  toml.part("loose_piece");
  toml.put("id", piece.id);
  toml.put_unless_empty("name", piece.name);
  toml.put("region_min_mm", piece.region_min_mm);
  toml.put("region_max_mm", piece.region_max_mm);
}

void put(TomlLines& toml, const DatumTarget& target) {
  toml.part("datum_target");
  toml.put("id", target.id);
  toml.put("at_mm", target.at_design_mm);
  toml.put("scan_mm", target.at_scan_mm);
}

// A pose fitted to targets is fitted again when the file is read.
void scan_pose(TomlLines& toml, const CoreBox& box) {
  if (!box.rough_design_from_scan || !box.datum_targets.empty()) return;
  const Eigen::Matrix<double, 9, 1> row_major = box.rough_design_from_scan->rotation.transpose().reshaped();
  toml.heading("scan_pose");
  toml.put("rotation", row_major);
  toml.put("translation_mm", box.rough_design_from_scan->translation_mm);
}

void air_and_sand(TomlLines& toml, const Air& air, const Sand& sand) {
  toml.heading("air");
  toml.put("blow_bar", air.blow_bar);
  toml.put("magazine_litre", air.magazine_litre);
  toml.put("gas_bar", air.gas_bar);
  toml.put("gas_temperature_C", air.gas_temperature_C);
  toml.put("gas_seconds", air.gas_seconds);
  toml.put_if_present("reached_last_percent", air.lines.reached_last);
  toml.put_if_present("slower_at_most_percent", air.lines.slower_at_most);
  toml.put_if_present("unpurged_at_most_percent", air.lines.unpurged_at_most);
  toml.put_if_present("watch_plugged_percent", air.lines.watch_plugged);
  toml.put_if_present("leak_at_most_percent", air.lines.leak_at_most);
  toml.put_if_present("watch_fill_slower_percent", air.lines.watch_fill_slower);
  toml.put_if_present("hold_fill_slower_percent", air.lines.hold_fill_slower);
  toml.heading("sand");
  toml.put("grain_fineness", sand.grain_fineness);
  toml.put("bulk_density_g_cm3", sand.bulk_density_g_cm3);
  toml.put("permeability_number", sand.permeability_number.value_or(0));
}

}  // namespace

std::string write_box_file(const CoreBox& box) {
  TomlLines toml;
  head(toml, box);
  for (const Dowel& dowel : box.dowels) put(toml, dowel);
  for (const WatchPoint& point : box.watch_points) put(toml, point);
  for (const GapReading& reading : box.gap_readings) put(toml, reading);
  for (const Clamp& clamp : box.clamps) put(toml, clamp);
  for (const Vent& vent : box.vents) put(toml, vent);
  for (const BlowInlet& inlet : box.blow_inlets) put(toml, inlet);
  air_and_sand(toml, box.air, box.sand);
  scan_pose(toml, box);
  for (const DatumTarget& target : box.datum_targets) put(toml, target);
  for (const LoosePiece& piece : box.loose_pieces) put(toml, piece);
  return toml.take();
}

}  // namespace boxfettle
