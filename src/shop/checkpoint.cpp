#include "shop/checkpoint.hpp"

#include <array>

#include "input/input_error.hpp"
#include "shop/toml_table.hpp"

namespace boxfettle {

extern const std::string_view shipped_checkpoints_toml;  // data/checkpoints.toml, embedded by the build

namespace {

constexpr std::array<std::string_view, 4> evidence_names{"yes-no", "measure", "count", "photo"};
constexpr std::array<std::string_view, 4> consequence_names{"note", "watch", "hold", "safety-hold"};

constexpr std::array<std::string_view, 4> share_names{"number", "surface", "mismatch", "gap"};

// at_least = 0, at_most = 0.2; or at_most = 0.5 with at_most_of = "mismatch": half of the box's mismatch
// limit.
AllowedValue allowed_from(TomlTable& table, Evidence evidence) {
  AllowedValue allowed;
  if (table.has("at_least")) allowed.at_least = table.number("at_least", -1e6, 1e6);
  if (table.has("at_most")) allowed.at_most = table.number("at_most", -1e6, 1e6);
  if (table.has("at_most_of")) {
    allowed.at_most_of = table.word<AllowedValue::Of>("at_most_of", share_names);
    if (!allowed.at_most)
      table.wrong("at_most_of", "has no at_most beside it", "say which share of it is allowed");
  }
  if (allowed != AllowedValue{} && evidence != Evidence::measure && evidence != Evidence::count)
    table.wrong("at_most", "stands at a checkpoint that has no number",
                "make its evidence a measure or a count");
  if (allowed.at_least && allowed.at_most && allowed.at_most_of == AllowedValue::Of::number &&
      *allowed.at_least > *allowed.at_most)
    table.wrong("at_most", "is below at_least", "turn the two round");
  return allowed;
}

Checkpoint checkpoint_from(TomlTable table) {
  Checkpoint point;
  point.id = table.text("id");
  point.title = table.text("title");
  point.how = table.text("how");
  point.fails_when = table.text("fails_when");
  point.evidence = table.word<Evidence>("evidence", evidence_names);
  point.unit = table.text("unit", point.evidence == Evidence::measure);
  point.allowed = allowed_from(table, point.evidence);
  point.consequence = table.word<Consequence>("consequence", consequence_names);
  point.caution = table.text("caution", false);
  table.expect_no_other_key();
  return point;
}

}  // namespace

std::string_view name(Evidence evidence) {
  return evidence_names[static_cast<std::size_t>(evidence)];
}
std::string_view name(Consequence consequence) {
  return consequence_names[static_cast<std::size_t>(consequence)];
}

const Checkpoint* Catalogue::find(std::string_view id) const {
  for (const Checkpoint& point : checkpoints)
    if (point.id == id) return &point;
  return nullptr;
}

Catalogue parse_catalogue(std::string_view toml, const std::string& file) {
  const toml::table whole = parse_toml(toml, file);
  TomlTable head(whole, file, "");
  Catalogue catalogue;
  catalogue.version = static_cast<int>(head.whole_number("version", 1, 1'000'000));
  catalogue.inspect_again_after = std::chrono::days{head.whole_number("inspect_again_after_days", 1, 3650)};
  catalogue.inspect_before_run_within =
      std::chrono::hours{head.whole_number_or(24, "inspect_before_run_within_hours", 1, 10000)};
  for (const TomlTable& table : head.tables("checkpoint")) {
    Checkpoint point = checkpoint_from(table);
    if (catalogue.find(point.id) != nullptr)
      table.wrong("id", "'" + point.id + "' stands twice", "give each checkpoint its own id");
    catalogue.checkpoints.push_back(std::move(point));
  }
  head.expect_no_other_key();
  return catalogue;
}

std::string_view shipped_catalogue_text() {
  return shipped_checkpoints_toml;
}

const Catalogue& shipped_catalogue() {
  static const Catalogue catalogue = parse_catalogue(shipped_checkpoints_toml, "data/checkpoints.toml");
  return catalogue;
}

}  // namespace boxfettle
