#include "corebox/box_file.hpp"

#include <algorithm>
#include <set>

#include "corebox/box_keys.hpp"
#include "corebox/box_table.hpp"
#include "corebox/scan_placing.hpp"
#include "input/input_error.hpp"
#include "input/whole_file.hpp"

namespace boxfettle {
namespace {

namespace keys = box_keys;

// A thousandth stands for "more than nothing" where nothing would make no sense.
constexpr Range limit_mm{0.001, 50};
constexpr Range diameter_mm{0.1, 500};
constexpr Range temperature_C{-50, 500};

void fill_box(CoreBox& box, const BoxTable& table) {
  box.id = table.text("id");
  box.name = table.text("name", "");
  box.process = table.one_of("process", process_named, keys::processes, std::optional(box.process));
  box.material = table.one_of("material", box_material_named, keys::materials, std::optional(box.material));
  box.design_file = table.text("design", "");
  box.design_unit =
      table.one_of("design_unit", length_unit_named, keys::units, std::optional(box.design_unit));
  box.temperature_C = table.number("temperature_C", temperature_C, box.temperature_C);
}

PartingFace parting(const BoxTable& table) {
  const Eigen::Vector3d point_mm = table.triple("point_mm");
  const Eigen::Vector3d normal = table.triple("normal");
  // Shorter than this is a slip, and its direction little but rounding.
  if (normal.norm() < 1e-6)
    table.refuse("normal", "has no length", "point it from the lower into the upper half");
  return PartingFace::through(point_mm, normal);
}

std::string casting_grade(const BoxTable& table) {
  std::string_view rest;
  const std::string text = table.text("casting_grade");
  if (text.starts_with("DCTG")) rest = std::string_view(text).substr(4);
  if (rest.starts_with(' ')) rest.remove_prefix(1);
  const bool digits =
      !rest.empty() && rest.size() <= 2 && rest.find_first_not_of("0123456789") == std::string_view::npos;
  const int grade = digits ? std::stoi(std::string(rest)) : 0;
  if (grade < 1 || grade > 16)
    table.refuse("casting_grade", "is not a casting grade", "write \"DCTG 1\" to \"DCTG 16\"");
  return "DCTG " + std::to_string(grade);
}

Limits limits(const BoxTable& table) {
  Limits limits;
  if (table.has("casting_grade") && table.has("surface_mm"))
    table.refuse("casting_grade", "stands beside surface_mm", "keep one of the two: both limit the surface");
  if (table.has("casting_grade")) limits.casting_grade = casting_grade(table);
  limits.surface_mm = table.number("surface_mm", limit_mm, limits.surface_mm);
  limits.mismatch_mm = table.number("mismatch_mm", limit_mm, limits.mismatch_mm);
  limits.gap_mm = table.number("gap_mm", limit_mm, limits.gap_mm);
  limits.weight_percent = table.number("weight_percent", {0.01, 100}, limits.weight_percent);
  return limits;
}

std::optional<Dowel::Bush> bush_named(std::string_view text) {
  if (text == "round") return Dowel::Bush::round;
  if (text == "slot") return Dowel::Bush::slot;
  return std::nullopt;
}

Eigen::Vector2d slot_axis(const BoxTable& table) {
  const Eigen::Vector2d axis = table.pair("slot_axis");
  if (axis.norm() < 1e-6)
    table.refuse("slot_axis", "has no length", "point it along the slot, [1, 0] for instance");
  // Left alone when it is a unit vector already, so that a box written down and read back is the same to the
  // bit.
  return std::abs(axis.squaredNorm() - 1) < 1e-14 ? axis : axis.normalized();
}

Dowel dowel(const BoxTable& table) {
  constexpr Range pin_mm{0.5, 200};
  Dowel dowel;
  dowel.id = table.text("id");
  dowel.at_parting_mm = table.pair("at_mm");
  dowel.pin_mm = table.number("pin_mm", pin_mm);
  dowel.bush_mm = table.number("bush_mm", pin_mm);
  if (dowel.pin_mm > dowel.bush_mm)
    table.refuse("pin_mm", "is larger than bush_mm", "measure both again; the pin would not enter its bush");
  dowel.kind = table.one_of("kind", bush_named, keys::bushes, std::optional(dowel.kind));
  if (table.has("slot_axis")) dowel.slot_axis = slot_axis(table);
  if (table.has("slot_length_mm")) {
    dowel.slot_length_mm = table.number("slot_length_mm", {0.5, 2000});
    if (dowel.kind == Dowel::Bush::slot && *dowel.slot_length_mm < dowel.bush_mm)
      table.refuse("slot_length_mm", "is shorter than the slot is wide (bush_mm)",
                   "give the slot's overall length");
  }
  if (table.has("bush_at_mm")) dowel.bush_at_parting_mm = table.pair("bush_at_mm");
  return dowel;
}

GapReading gap_reading(const BoxTable& table) {
  constexpr Range feeler_mm{0, 20};
  GapReading reading{table.pair("at_mm"), table.number("clamped_mm", feeler_mm), std::nullopt};
  if (table.has("unclamped_mm")) reading.unclamped_mm = table.number("unclamped_mm", feeler_mm);
  return reading;
}

std::optional<Clamp::Kind> clamp_named(std::string_view text) {
  if (text == "bolt") return Clamp::Kind::bolt;
  if (text == "toggle") return Clamp::Kind::toggle;
  return std::nullopt;
}

bool is_metric_thread(std::string_view text) {
  return text.size() >= 2 && text.size() <= 8 && text[0] == 'M' && text[1] >= '1' && text[1] <= '9' &&
         text.find_first_not_of("0123456789.x", 1) == std::string_view::npos;
}

std::optional<std::string> strength_class_named(std::string_view text) {
  const auto& known = keys::strength_classes;
  if (std::find(known.begin(), known.end(), text) == known.end()) return std::nullopt;
  return std::string(text);
}

Clamp clamp(const BoxTable& table) {
  Clamp clamp;
  clamp.id = table.text("id");
  clamp.at_parting_mm = table.pair("at_mm");
  clamp.kind = table.one_of("kind", clamp_named, keys::clamps);
  const bool bolt = clamp.kind == Clamp::Kind::bolt;
  if (bolt || table.has("thread")) {
    clamp.thread = table.text("thread");
    if (!is_metric_thread(clamp.thread))
      table.refuse("thread", "is not a metric thread", "write \"M12\" or \"M12x1.25\"");
  }
  if (bolt || table.has("class"))
    clamp.strength_class = table.one_of("class", strength_class_named, keys::strength_classes);
  constexpr double most_Nm = 10000;
  constexpr double most_N = 1e7;
  clamp.torque_Nm =
      bolt ? table.number("torque_Nm", {0.1, most_Nm}) : table.number("torque_Nm", {0, most_Nm}, 0);
  clamp.force_N = bolt ? table.number("force_N", {0, most_N}, 0) : table.number("force_N", {1, most_N});
  return clamp;
}

Vent vent(const BoxTable& table) {
  Vent vent;
  vent.id = table.text("id");
  vent.at_design_mm = table.triple("at_mm");
  vent.diameter_mm = table.number("diameter_mm", diameter_mm);
  vent.open_fraction = table.number("open_fraction", {0.001, 1}, vent.open_fraction);
  vent.plugged = table.number("plugged", {0, 1}, vent.plugged);
  vent.half = table.one_of("half", half_named, keys::halves, std::optional(vent.half));
  return vent;
}

BlowInlet blow_inlet(const BoxTable& table) {
  return {table.text("id"), table.triple("at_mm"), table.number("diameter_mm", diameter_mm)};
}

WatchPoint watch_point(const BoxTable& table) {
  return {table.text("id"), table.pair("at_mm")};
}

AirLines air_lines(const BoxTable& table) {
  const auto line = [&](std::string_view key, Range percent) {
    return table.has(key) ? std::optional(table.number(key, percent)) : std::nullopt;
  };
  return {.reached_last = line("reached_last_percent", {0.01, 50}),
          .slower_at_most = line("slower_at_most_percent", {0.01, 100000}),
          .unpurged_at_most = line("unpurged_at_most_percent", {0.01, 100}),
          .watch_plugged = line("watch_plugged_percent", {0.01, 100}),
          .leak_at_most = line("leak_at_most_percent", {0.01, 100}),
          .watch_fill_slower = line("watch_fill_slower_percent", {0.01, 100000}),
          .hold_fill_slower = line("hold_fill_slower_percent", {0.01, 100000})};
}

Air air(const BoxTable& table) {
  Air air;
  air.blow_bar = table.number("blow_bar", {0.01, 20}, air.blow_bar);
  air.magazine_litre = table.number("magazine_litre", {0.01, 10000}, air.magazine_litre);
  air.gas_bar = table.number("gas_bar", {0.001, 20}, air.gas_bar);
  air.gas_temperature_C = table.number("gas_temperature_C", temperature_C, air.gas_temperature_C);
  air.gas_seconds = table.number("gas_seconds", {0.01, 3600}, air.gas_seconds);
  air.lines = air_lines(table);
  return air;
}

Sand sand(const BoxTable& table) {
  Sand sand;
  sand.grain_fineness = table.number("grain_fineness", {10, 300}, sand.grain_fineness);
  sand.bulk_density_g_cm3 = table.number("bulk_density_g_cm3", {0.3, 5}, sand.bulk_density_g_cm3);
  // Zero is how the file says "not measured".
  const double permeability = table.number("permeability_number", {0, 10000}, 0);
  if (permeability > 0) sand.permeability_number = permeability;
  return sand;
}

LoosePiece loose_piece(const BoxTable& table) {
  const LoosePiece piece{table.text("id"), table.text("name", ""), table.triple("region_min_mm"),
                         table.triple("region_max_mm")};
  if (!(piece.region_min_mm.array() < piece.region_max_mm.array()).all())
    table.refuse("region_max_mm", "is not above region_min_mm in x, y and z",
                 "give two opposite corners, the lower first");
  return piece;
}

template <typename Part>
std::vector<Part> parts(const BoxTable& file, std::string_view key, std::span<const std::string_view> known,
                        Part (*part)(const BoxTable&)) {
  std::vector<Part> parts;
  std::set<std::string> ids;
  for (const BoxTable& table : file.tables(key, known)) {
    parts.push_back(part(table));
    if constexpr (requires { parts.back().id; })
      if (!ids.insert(parts.back().id).second)
        table.refuse("id", "'" + parts.back().id + "' is taken by another " + std::string(key),
                     "give each its own id");
  }
  return parts;
}

// Two pins nearer than this are one pin written twice.
void refuse_pins_on_one_spot(const std::vector<Dowel>& dowels, const BoxTable& file) {
  constexpr double one_spot_mm = 1;
  for (std::size_t i = 0; i < dowels.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if ((dowels[i].at_parting_mm - dowels[j].at_parting_mm).norm() < one_spot_mm)
        file.tables("dowel", keys::dowel)[i].refuse("at_mm",
                                                    "is the same spot as dowel '" + dowels[j].id + "'",
                                                    "give each dowel its own place in the parting face");
}

CoreBox core_box(const BoxTable& file) {
  CoreBox box;
  const auto head = file.table("box", keys::box);
  if (!head) file.refuse("box", "is missing", "begin the file with [box] and its id");
  fill_box(box, *head);
  const auto face = file.table("parting", keys::parting);
  if (!face)
    file.refuse("parting", "is missing",
                "add [parting] with point_mm = [0, 0, 0] and normal = [0, 0, 1], say");
  box.parting = parting(*face);
  if (const auto table = file.table("limits", keys::limits)) box.limits = limits(*table);
  box.dowels = parts(file, "dowel", keys::dowel, dowel);
  refuse_pins_on_one_spot(box.dowels, file);
  box.watch_points = parts(file, "watch_point", keys::watch_point, watch_point);
  box.gap_readings = parts(file, "gap_reading", keys::gap_reading, gap_reading);
  box.clamps = parts(file, "clamp", keys::clamp, clamp);
  box.vents = parts(file, "vent", keys::vent, vent);
  box.blow_inlets = parts(file, "blow", keys::blow, blow_inlet);
  if (const auto table = file.table("air", keys::air)) box.air = air(*table);
  if (const auto table = file.table("sand", keys::sand)) box.sand = sand(*table);
  box.loose_pieces = parts(file, "loose_piece", keys::loose_piece, loose_piece);
  box.datum_targets = parts(file, "datum_target", keys::datum_target, datum_target);
  const auto pose = file.table("scan_pose", keys::scan_pose);
  if (pose && !box.datum_targets.empty())
    file.refuse("scan_pose", "stands beside datum targets",
                "keep one of the two: both say how the scan lies");
  box.rough_design_from_scan = pose ? scan_pose(*pose) : pose_by_targets(box.datum_targets, file);
  return box;
}

// The parser limits how deep lists nest, but not how many names a dotted key has ("a.a.a.a = 1"); each name
// is a table in a table, and taking a hundred thousand of them apart again would use up the stack.
void refuse_deep_keys(std::string_view text, const std::string& file) {
  constexpr std::size_t most_dots = 64;
  std::size_t line = 1;
  std::size_t dots = 0;
  for (const char c : text) {
    if (c == '\n') {
      ++line;
      dots = 0;
    } else if (c == '.' && ++dots > most_dots) {
      throw InputError(file, "line " + std::to_string(line), "more than 64 dots in one line",
                       "break the line; no key of a box file has that many parts");
    }
  }
}

void refuse_large(std::string_view text, const std::string& file) {
  constexpr std::size_t most_bytes = 1 << 20;
  if (text.size() > most_bytes)
    throw InputError(file, "", "is larger than 1 MB",
                     "a box file is a few pages of text; is this the right file?");
}

}  // namespace

CoreBox parse_box_file(std::string_view text, const std::string& file) {
  refuse_large(text, file);
  refuse_deep_keys(text, file);
  const toml::table root = [&] {
    try {
      return toml::parse(text);
    } catch (const toml::parse_error& error) {
      throw InputError(file, "line " + std::to_string(error.source().begin.line),
                       std::string(error.description()),
                       "mend the line; docs/how/box-file.md shows a whole box file");
    }
  }();
  return core_box(BoxTable(root, "", file, keys::file));
}

CoreBox read_box_file(const std::filesystem::path& path) {
  return parse_box_file(WholeFile(path).text(), path.string());
}

}  // namespace boxfettle
