#include "shop/checkpoint.hpp"

#include <toml++/toml.h>

#include <array>
#include <set>

#include "input/input_error.hpp"

namespace boxfettle {

extern const std::string_view shipped_checkpoints_toml;  // data/checkpoints.toml, embedded by the build

namespace {

constexpr std::array<std::string_view, 4> evidence_names{"yes-no", "measure", "count", "photo"};
constexpr std::array<std::string_view, 4> consequence_names{"note", "watch", "hold", "safety-hold"};

template <std::size_t N>
std::string listed(const std::array<std::string_view, N>& names) {
  std::string all;
  for (const std::string_view one : names) all += (all.empty() ? "" : ", ") + std::string(one);
  return all;
}

// One table of the catalogue, asked key by key; what was never asked for is a misspelling.
class Table {
 public:
  Table(const toml::table& table, std::string file, std::string place)
      : table_(table), file_(std::move(file)), place_(std::move(place)) {}

  [[noreturn]] void wrong(std::string_view key, const std::string& what, const std::string& mend) const {
    throw InputError(file_, place_ + std::string(key), what, mend);
  }

  std::string text(std::string_view key, bool needed = true) {
    asked_.insert(std::string(key));
    const toml::node* node = table_.get(key);
    if (node == nullptr) {
      if (needed) wrong(key, "is missing", "add it");
      return {};
    }
    const auto value = node->value_exact<std::string>();
    if (!value || value->empty()) wrong(key, "is not a text", "write it in quotes");
    return *value;
  }

  int whole_number(std::string_view key, int low, int high) {
    asked_.insert(std::string(key));
    const toml::node* node = table_.get(key);
    if (node == nullptr) wrong(key, "is missing", "add it");
    const auto value = node->value_exact<std::int64_t>();
    if (!value || *value < low || *value > high)
      wrong(key, "is no whole number in range",
            "give " + std::to_string(low) + " to " + std::to_string(high));
    return static_cast<int>(*value);
  }

  template <class Value, std::size_t N>
  Value word(std::string_view key, const std::array<std::string_view, N>& names) {
    const std::string given = text(key);
    for (std::size_t i = 0; i < N; ++i)
      if (names[i] == given) return static_cast<Value>(i);
    wrong(key, "'" + given + "' is not known", "use one of " + listed(names));
  }

  void expect_no_other_key(std::string_view allowed = {}) const {
    for (const auto& [key, value] : table_)
      if (key.str() != allowed && !asked_.contains(std::string(key.str())))
        wrong(key.str(), "is not known", "check the spelling or take it out");
  }

 private:
  const toml::table& table_;
  std::string file_, place_;
  std::set<std::string> asked_;
};

Checkpoint checkpoint_from(Table table) {
  Checkpoint point;
  point.id = table.text("id");
  point.title = table.text("title");
  point.how = table.text("how");
  point.fails_when = table.text("fails_when");
  point.evidence = table.word<Evidence>("evidence", evidence_names);
  point.unit = table.text("unit", point.evidence == Evidence::measure);
  point.consequence = table.word<Consequence>("consequence", consequence_names);
  point.caution = table.text("caution", false);
  table.expect_no_other_key();
  return point;
}

toml::table parsed(std::string_view toml, const std::string& file) {
  try {
    return toml::parse(toml);
  } catch (const toml::parse_error& fault) {
    throw InputError(file, "line " + std::to_string(fault.source().begin.line),
                     std::string(fault.description()), "mend the TOML");
  }
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
  const toml::table whole = parsed(toml, file);
  Table head(whole, file, "");
  Catalogue catalogue;
  catalogue.version = head.whole_number("version", 1, 1'000'000);
  catalogue.inspect_again_after = std::chrono::days{head.whole_number("inspect_again_after_days", 1, 3650)};
  head.expect_no_other_key("checkpoint");

  const toml::array* points = whole["checkpoint"].as_array();
  if (points == nullptr || points->empty())
    head.wrong("checkpoint", "is missing", "add [[checkpoint]] tables");
  for (std::size_t i = 0; i < points->size(); ++i) {
    const std::string place = "checkpoint[" + std::to_string(i) + "].";
    const toml::table* table = points->get(i)->as_table();
    if (table == nullptr) head.wrong("checkpoint", "is not a list of tables", "write [[checkpoint]]");
    Checkpoint point = checkpoint_from(Table(*table, file, place));
    if (catalogue.find(point.id) != nullptr)
      throw InputError(file, place + "id", "'" + point.id + "' stands twice",
                       "give each checkpoint its own id");
    catalogue.checkpoints.push_back(std::move(point));
  }
  return catalogue;
}

const Catalogue& shipped_catalogue() {
  static const Catalogue catalogue = parse_catalogue(shipped_checkpoints_toml, "data/checkpoints.toml");
  return catalogue;
}

}  // namespace boxfettle
