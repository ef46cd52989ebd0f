#include "shop/canonical_text.hpp"

#include <nlohmann/json.hpp>

#include "input/input_error.hpp"
#include "shop/entry_json.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;  // its objects keep their keys sorted by bytes, its numbers are the shortest that read
                       // back

constexpr std::size_t longest_text = 8u << 20;

[[noreturn]] void no_entry(const std::string& place, const std::string& what) {
  throw InputError("logbook", place, what,
                   "restore the logbook from a backup; verify tells what else was changed");
}

std::string text_of(const json& object, const char* key) {
  return object.value(key, std::string());
}

std::optional<double> number_of(const json& object, const char* key) {
  const auto at = object.find(key);
  return at == object.end() ? std::nullopt : std::optional(at->get<double>());
}

std::optional<ContentHash> hash_of(const json& object, const char* key) {
  const auto at = object.find(key);
  return at == object.end() ? std::nullopt
                            : std::optional(ContentHash::from_hex(at->get_ref<const std::string&>()));
}

template <class Value>
Value known(const std::optional<Value>& value, const char* key) {
  if (!value) no_entry(key, "holds a word that is not known here");
  return *value;
}

BoxRegistered registered_from(const json& body) {
  const json& limits = body.at("limits");
  return {.name = text_of(body, "name"),
          .makes = text_of(body, "makes"),
          .process = text_of(body, "process"),
          .material = text_of(body, "material"),
          .home_place = text_of(body, "home_place"),
          .limits = {.surface_mm = limits.at("surface_mm").get<double>(),
                     .mismatch_mm = limits.at("mismatch_mm").get<double>(),
                     .gap_mm = limits.at("gap_mm").get<double>(),
                     .weight_percent = limits.at("weight_percent").get<double>()},
          .box_file = hash_of(body, "box_file"),
          .design = hash_of(body, "design"),
          .design_name = text_of(body, "design_name")};
}

Inspected inspected_from(const json& body) {
  Inspected inspected{body.at("catalogue").get<int>(), {}};
  for (const json& one : body.at("results"))
    inspected.results.push_back({.checkpoint = text_of(one, "checkpoint"),
                                 .passed = one.at("passed").get<bool>(),
                                 .measured = number_of(one, "measured"),
                                 .unit = text_of(one, "unit"),
                                 .remark = text_of(one, "remark"),
                                 .photo = hash_of(one, "photo")});
  return inspected;
}

ScanRead scan_from(const json& body) {
  ScanRead scan{.reading = text_of(body, "reading"),
                .file_name = text_of(body, "file"),
                .of = known(scanned_subject_named(body.value("of", "core")), "of"),
                .scan = hash_of(body, "scan"),
                .verdict = known(scan_verdict_named(text_of(body, "verdict")), "verdict"),
                .findings = {},
                .mismatch_mm = number_of(body, "mismatch_mm"),
                .gap_mm = number_of(body, "gap_mm")};
  for (const json& one : body.at("findings"))
    scan.findings.push_back({.kind = text_of(one, "kind"),
                             .severity = text_of(one, "severity"),
                             .text = text_of(one, "text"),
                             .depth_mm = one.at("depth_mm").get<double>(),
                             .limit_mm = one.at("limit_mm").get<double>()});
  return scan;
}

EntryBody body_from(const std::string& kind, const json& body) {
  if (kind == "registered") return registered_from(body);
  if (kind == "moved")
    return Moved{{known(place_kind_named(text_of(body, "to")), "to"), text_of(body, "text")}};
  if (kind == "inspected") return inspected_from(body);
  if (kind == "scan-read") return scan_from(body);
  if (kind == "held")
    return Held{text_of(body, "why"), body.at("safety").get<bool>(), text_of(body, "checkpoint")};
  if (kind == "released")
    return Released{text_of(body, "why"), body.at("holds").get<std::vector<std::int64_t>>()};
  if (kind == "note") return NoteWritten{text_of(body, "text")};
  try {
    return body_from_json(kind, body);
  } catch (const InputError& fault) {
    no_entry(fault.place(), std::string(fault.what()) + ": a newer program wrote it, or it was changed");
  }
}

Entry parsed(std::string_view text) {
  const json whole = json::parse(text);
  return {.seq = whole.at("seq").get<std::int64_t>(),
          .at = UtcTime::parse(whole.at("at").get_ref<const std::string&>()),
          .who = text_of(whole, "who"),
          .request = text_of(whole, "request"),
          .box = text_of(whole, "box"),
          .body = body_from(text_of(whole, "kind"), whole.at("body")),
          .previous = {},
          .hash = {}};
}

}  // namespace

std::string canonical_text(const Entry& entry) {
  check_sender(entry.who, entry.request, entry.box);
  check_body(entry.body);
  return json{{"at", entry.at.iso()},     {"body", body_json(entry.body)}, {"box", entry.box},
              {"kind", kind(entry.body)}, {"request", entry.request},      {"seq", entry.seq},
              {"who", entry.who}}
      .dump();
}

Entry entry_from_text(std::string_view text) {
  if (text.size() > longest_text) no_entry("", "the entry is longer than any that is written");
  try {
    Entry entry = parsed(text);
    if (canonical_text(entry) != text)
      no_entry("entry " + std::to_string(entry.seq), "not in canonical form");
    return entry;
  } catch (const json::exception& fault) {
    no_entry("", std::string("not an entry: ") + fault.what());
  }
}

ContentHash chain_hash(const ContentHash& previous, std::string_view canonical_text) {
  ContentHasher hasher;
  const std::string hex = previous.hex();
  hasher.add(std::as_bytes(std::span(hex)));
  hasher.add(std::as_bytes(std::span(canonical_text)));
  return hasher.finish();
}

}  // namespace boxfettle
