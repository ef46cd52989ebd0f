#include "service/told_request.hpp"

#include "input/input_error.hpp"
#include "service/request_json.hpp"
#include "shop/entry_json.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t label = 200, prose = 4000;

Place place_in(const JsonFields& fields) {
  const std::string kind = fields.text("to", 40);
  const auto named = place_kind_named(kind);
  if (!named)
    fields.refuse("to", "'" + kind + "' is no kind of place",
                  "send bay, station, tool-room, outside-shop or missing");
  return {*named, fields.text_or_none("text", label)};
}

void replace(std::string& text, const JsonFields& fields, const std::string& key) {
  if (std::string told = fields.text_or_none(key, label); !told.empty()) text = std::move(told);
}

BoxRegistered registration_in(const JsonFields& fields, BoxRegistered box) {
  replace(box.name, fields, "name");
  replace(box.makes, fields, "makes");
  replace(box.process, fields, "process");
  replace(box.material, fields, "material");
  replace(box.home_place, fields, "home_place");
  if (const std::string hash = fields.text_or_none("box_file", 64); !hash.empty())
    box.box_file = ContentHash::from_hex(hash);
  if (const std::string hash = fields.text_or_none("design", 64); !hash.empty()) {
    box.design = ContentHash::from_hex(hash);
    box.design_name = fields.text("design_name", label);
  }
  box.limits.surface_mm = fields.number("surface_mm").value_or(box.limits.surface_mm);
  box.limits.mismatch_mm = fields.number("mismatch_mm").value_or(box.limits.mismatch_mm);
  box.limits.gap_mm = fields.number("gap_mm").value_or(box.limits.gap_mm);
  box.limits.weight_percent = fields.number("weight_percent").value_or(box.limits.weight_percent);
  return box;
}

decltype(Request::what) what_of(std::string_view kind, const JsonFields& fields, const BoxRegistered& known) {
  if (kind == "registered") return RegisterBox{registration_in(fields, known)};
  if (kind == "moved") return MoveBox{place_in(fields)};
  if (kind == "held")
    return HoldBox{fields.text("why", prose), fields.yes_or_no("safety"),
                   fields.text_or_none("checkpoint", label)};
  if (kind == "released") return ReleaseBox{fields.text("why", prose)};
  if (kind == "note") return WriteNote{fields.text("text", prose)};
  if (kind == "computed")
    throw InputError("", "kind", "a calculation is written by the program alone",
                     "ask for the calculation instead");
  return Tell{body_from_json(kind, fields.object())};
}

}  // namespace

Request told_request(const std::string& box, std::string_view kind, const std::string& body,
                     const BoxRegistered& known) {
  const JsonFields fields = JsonFields::parse(body);
  return {fields.text("request", 64), box, what_of(kind, fields, known), fields.whole_number("as_of_entry")};
}

}  // namespace boxfettle
