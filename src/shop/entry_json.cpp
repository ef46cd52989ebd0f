#include "shop/entry_json.hpp"

#include "input/input_error.hpp"
#include "shop/entry_fields.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

json place_json(const Place& place) {
  json out{{"kind", name(place.kind)}};
  if (!place.text.empty()) out["text"] = place.text;
  return out;
}

struct Writer {
  json& out;

  void label(const char* key, const std::string& text, Empty = {}) { prose(key, text); }
  void prose(const char* key, const std::string& text, Empty = {}) {
    if (!text.empty()) out[key] = text;
  }
  void document(const char* key, const std::string& text) { prose(key, text); }
  void flag(const char* key, bool value) { out[key] = value; }
  void count(const char* key, std::int64_t value, std::int64_t) { out[key] = value; }
  void count(const char* key, const std::optional<std::int64_t>& value, std::int64_t) {
    if (value) out[key] = *value;
  }
  void number(const char* key, double value, double = 0) { out[key] = value; }
  void number(const char* key, const std::optional<double>& value, double = 0) {
    if (value) out[key] = *value;
  }
  void time(const char* key, UtcTime value) { out[key] = value.iso(); }
  void time(const char* key, const std::optional<UtcTime>& value) {
    if (value) out[key] = value->iso();
  }
  template <class Value, std::size_t N>
  void choice(const char* key, Value value, const std::array<std::string_view, N>& names) {
    out[key] = names[static_cast<std::size_t>(value)];
  }
  void place(const char* key, const Place& value) { out[key] = place_json(value); }
  void names(const char* key, const std::vector<std::string>& values, std::size_t) {
    if (!values.empty()) out[key] = values;
  }
  void counts(const char* key, const std::vector<std::int64_t>& values, std::int64_t, std::int64_t) {
    if (!values.empty()) out[key] = values;
  }
  template <class Item>
  void list(const char* key, const std::vector<Item>& items, std::size_t) {
    if (items.empty()) return;
    json told = json::array();
    for (const Item& item : items) {
      json one = json::object();
      Writer inner{one};
      fields(inner, item);
      told.push_back(std::move(one));
    }
    out[key] = std::move(told);
  }
};

struct Reader {
  const json& in;
  std::string place_;

  [[noreturn]] void refuse(const std::string& key, const std::string& what, const std::string& mend) const {
    throw InputError("", place_ + key, what, mend);
  }
  const json* find(const char* key) const {
    const auto at = in.find(key);
    return at == in.end() || at->is_null() ? nullptr : &*at;
  }

  void label(const char* key, std::string& text, Empty = {}) const {
    const json* value = find(key);
    if (value == nullptr) return;
    if (!value->is_string()) refuse(key, "is not text", "send it as a string");
    text = value->get<std::string>();
  }
  void prose(const char* key, std::string& text, Empty = {}) const { label(key, text); }
  void document(const char* key, std::string& text) const { label(key, text); }
  void flag(const char* key, bool& flag) const {
    const json* value = find(key);
    if (value == nullptr) return;
    if (!value->is_boolean()) refuse(key, "is neither true nor false", "send true or false");
    flag = value->get<bool>();
  }
  std::int64_t whole(const std::string& key, const json& value) const {
    const bool fits = value.is_number_integer() &&
                      (!value.is_number_unsigned() || value.get<std::uint64_t>() <= std::uint64_t{INT64_MAX});
    if (!fits) refuse(key, "is not a whole number", "send a whole number");
    return value.get<std::int64_t>();
  }
  void count(const char* key, std::int64_t& count, std::int64_t) const {
    if (const json* value = find(key)) count = whole(key, *value);
  }
  void count(const char* key, std::optional<std::int64_t>& count, std::int64_t least) const {
    if (find(key) != nullptr) this->count(key, count.emplace(), least);
  }
  void number(const char* key, double& number, double = 0) const {
    const json* value = find(key);
    if (value == nullptr) return;
    if (!value->is_number()) refuse(key, "is not a number", "send a number");
    number = value->get<double>();
  }
  void number(const char* key, std::optional<double>& number, double least = 0) const {
    if (find(key) == nullptr) return;
    this->number(key, number.emplace(), least);
  }
  void time(const char* key, UtcTime& time) const {
    std::string text;
    label(key, text);
    if (text.empty()) return;
    try {
      time = UtcTime::parse(text);
    } catch (const InputError& fault) {
      refuse(key, fault.what(), "send it like 2026-11-26T06:00:00Z");
    }
  }
  void time(const char* key, std::optional<UtcTime>& time) const {
    if (find(key) != nullptr) this->time(key, time.emplace());
  }
  template <class Value, std::size_t N>
  void choice(const char* key, Value& value, const std::array<std::string_view, N>& names) const {
    std::string text;
    label(key, text);
    if (text.empty()) return;
    for (std::size_t i = 0; i < N; ++i)
      if (names[i] == text) {
        value = static_cast<Value>(i);
        return;
      }
    refuse(key, "'" + text + "' is not known here", "send one of: " + joined(names));
  }
  template <std::size_t N>
  static std::string joined(const std::array<std::string_view, N>& names) {
    std::string all;
    for (const std::string_view name : names) all += (all.empty() ? "" : ", ") + std::string(name);
    return all;
  }
  void place(const char* key, Place& place) const {
    const json* value = find(key);
    if (value == nullptr) return;
    if (!value->is_object())
      refuse(key, "is not a place", "send {\"kind\": \"bay\", \"text\": \"Rack B, bay 3\"}");
    const Reader inner{*value, place_ + key + "."};
    std::string kind;
    inner.label("kind", kind);
    inner.label("text", place.text);
    const auto named = place_kind_named(kind);
    if (!named)
      inner.refuse("kind", "'" + kind + "' is no kind of place",
                   "send one of: bay, station, tool-room, outside-shop, missing");
    place.kind = *named;
  }
  // The list under `key`, or null; refuses what is no list or longer than `most`.
  const json* list_of(const char* key, std::size_t most) const {
    const json* value = find(key);
    if (value == nullptr) return nullptr;
    if (!value->is_array()) refuse(key, "is not a list", "send a list");
    if (value->size() > most) refuse(key, "is too long", "send at most " + std::to_string(most));
    return value;
  }
  void names(const char* key, std::vector<std::string>& names, std::size_t most) const {
    const json* values = list_of(key, most);
    if (values == nullptr) return;
    names.clear();
    for (const json& value : *values) {
      if (!value.is_string()) refuse(key, "has something that is not text", "send a list of strings");
      names.push_back(value.get<std::string>());
    }
  }
  void counts(const char* key, std::vector<std::int64_t>& counts, std::int64_t, std::int64_t) const {
    const json* values = list_of(key, 1000);
    if (values == nullptr) return;
    counts.clear();
    for (const json& value : *values) counts.push_back(whole(key, value));
  }
  template <class Item>
  void list(const char* key, std::vector<Item>& items, std::size_t most) const {
    const json* values = list_of(key, most);
    if (values == nullptr) return;
    items.clear();
    for (std::size_t i = 0; i < values->size(); ++i) {
      const std::string inner_place = place_ + key + "[" + std::to_string(i) + "]";
      if (!(*values)[i].is_object())
        throw InputError("", inner_place, "is not an object", "send it as openapi.yaml shows");
      const Reader inner{(*values)[i], inner_place + "."};
      fields(inner, items.emplace_back());
    }
  }
};

template <HasFields Body>
json written(const Body& body) {
  json out = json::object();
  Writer writer{out};
  fields(writer, body);
  return out;
}

// Tries each kind in turn.
template <std::size_t I = 0>
EntryBody read_as(std::string_view kind, const json& from) {
  if constexpr (I == std::variant_size_v<EntryBody>) {
    throw InputError("", "kind", "'" + std::string(kind) + "' is no kind of entry",
                     "see openapi.yaml for those there are");
  } else {
    using Body = std::variant_alternative_t<I, EntryBody>;
    if constexpr (HasFields<Body>) {
      if (Body::kind == kind) {
        Body body;
        const Reader reader{from, ""};
        fields(reader, body);
        return body;
      }
    }
    return read_as<I + 1>(kind, from);
  }
}

// The first kinds, written before there were lists of fields.

template <class Value>
void put(json& object, const char* key, const std::optional<Value>& value) {
  if (value) object[key] = *value;
}
void put(json& object, const char* key, const std::optional<ContentHash>& value) {
  if (value) object[key] = value->hex();
}
void put(json& object, const char* key, const std::string& value) {
  if (!value.empty()) object[key] = value;
}

json written(const BoxRegistered& body) {
  json out{{"limits",
            {{"gap_mm", body.limits.gap_mm},
             {"mismatch_mm", body.limits.mismatch_mm},
             {"surface_mm", body.limits.surface_mm},
             {"weight_percent", body.limits.weight_percent}}}};
  put(out, "name", body.name);
  put(out, "makes", body.makes);
  put(out, "process", body.process);
  put(out, "material", body.material);
  put(out, "home_place", body.home_place);
  put(out, "box_file", body.box_file);
  put(out, "design", body.design);
  put(out, "design_name", body.design_name);
  return out;
}

json written(const Moved& body) {
  json out{{"to", name(body.to.kind)}};
  put(out, "text", body.to.text);
  return out;
}

json written(const Inspected& body) {
  json results = json::array();
  for (const CheckpointResult& result : body.results) {
    json one{{"checkpoint", result.checkpoint}, {"passed", result.passed}};
    put(one, "measured", result.measured);
    put(one, "unit", result.unit);
    put(one, "remark", result.remark);
    put(one, "photo", result.photo);
    results.push_back(std::move(one));
  }
  return {{"catalogue", body.catalogue_version}, {"results", std::move(results)}};
}

json written(const ScanRead& body) {
  json findings = json::array();
  for (const ScanRead::Finding& finding : body.findings) {
    json one{{"kind", finding.kind},
             {"severity", finding.severity},
             {"depth_mm", finding.depth_mm},
             {"limit_mm", finding.limit_mm}};
    put(one, "text", finding.text);
    findings.push_back(std::move(one));
  }
  json out{{"reading", body.reading},
           {"file", body.file_name},
           {"verdict", name(body.verdict)},
           {"findings", std::move(findings)}};
  if (body.of != ScanRead::Subject::core) out["of"] = name(body.of);
  put(out, "scan", body.scan);
  put(out, "mismatch_mm", body.mismatch_mm);
  put(out, "gap_mm", body.gap_mm);
  return out;
}

json written(const Held& body) {
  json out{{"why", body.why}, {"safety", body.safety}};
  put(out, "checkpoint", body.checkpoint);
  return out;
}

json written(const Released& body) {
  return {{"why", body.why}, {"holds", body.holds}};
}
json written(const NoteWritten& body) {
  return {{"text", body.text}};
}

}  // namespace

json body_json(const EntryBody& body) {
  return std::visit([](const auto& told) { return written(told); }, body);
}

EntryBody body_from_json(std::string_view kind, const json& from) {
  return read_as(kind, from);
}

}  // namespace boxfettle
