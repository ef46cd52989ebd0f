#include "shop/care.hpp"

#include <algorithm>

#include "shop/toml_table.hpp"

namespace boxfettle {

extern const std::string_view shipped_care_toml;  // data/care.toml, embedded by the build

namespace {

constexpr std::int64_t longest_minutes = 60 * 24 * 366;

CareRule rule_from(TomlTable table) {
  CareRule rule;
  rule.id = table.text("id");
  rule.title = table.text("title");
  rule.how = table.text("how");
  rule.caution = table.text("caution", false);
  rule.each_core = table.flag_or(false, "each_core");
  rule.every_minutes = table.whole_number_or(0, "every_minutes", 0, longest_minutes);
  rule.every_shots = table.whole_number_or(0, "every_shots", 0, 100'000'000);
  rule.every_days = table.whole_number_or(0, "every_days", 0, 3660);
  rule.grace_minutes = table.whole_number_or(0, "grace_minutes", 0, longest_minutes);
  rule.stop_after_minutes = table.whole_number_or(0, "stop_after_minutes", 0, longest_minutes);
  table.expect_no_other_key();
  if (never_due(rule))
    table.wrong("every_minutes", "never falls due", "give minutes, shots or days, or each_core = true");
  return rule;
}

CareDefaults defaults_from(TomlTable table) {
  CareDefaults defaults{table.text("process", false), table.whole_numbers("months", 1, 12), {}};
  for (const TomlTable& rule : table.tables("rule")) {
    CareRule read = rule_from(rule);
    if (std::any_of(defaults.care.begin(), defaults.care.end(),
                    [&](const CareRule& r) { return r.id == read.id; }))
      rule.wrong("id", "'" + read.id + "' stands twice", "give each rule its own id");
    defaults.care.push_back(std::move(read));
  }
  table.expect_no_other_key();
  return defaults;
}

}  // namespace

bool never_due(const CareRule& rule) {
  return !rule.each_core && rule.every_minutes == 0 && rule.every_shots == 0 && rule.every_days == 0;
}

std::vector<CareDefaults> parse_care(std::string_view toml, const std::string& file) {
  const toml::table whole = parse_toml(toml, file);
  TomlTable head(whole, file, "");
  std::vector<CareDefaults> all;
  for (const TomlTable& table : head.tables("care")) all.push_back(defaults_from(table));
  head.expect_no_other_key();
  return all;
}

const std::vector<CareDefaults>& shipped_care() {
  static const std::vector<CareDefaults> care = parse_care(shipped_care_toml, "data/care.toml");
  return care;
}

}  // namespace boxfettle
