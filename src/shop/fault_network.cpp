#include "shop/fault_network.hpp"

#include <algorithm>
#include <cmath>

#include "shop/toml_table.hpp"

namespace boxfettle {

extern const std::string_view shipped_faults_toml;  // data/faults.toml, embedded by the build

namespace {

template <class Thing>
std::optional<std::size_t> place_of(const std::vector<Thing>& things, std::string_view id) {
  const auto at = std::ranges::find(things, id, &Thing::id);
  if (at == things.end()) return std::nullopt;
  return static_cast<std::size_t>(at - things.begin());
}

void add_finding(FaultNetwork& network, const TomlTable& table, Observable finding) {
  if (network.finding_named(finding.id))
    table.wrong(finding.is_checkpoint() ? "checkpoint" : "name", "'" + finding.id + "' stands twice",
                "name each finding once");
  network.findings.push_back(std::move(finding));
}

std::chrono::minutes in_minutes(double hours) {
  return std::chrono::minutes(std::lround(60 * hours));
}

// "soft-spot" is an id; people read "soft spot".
std::string as_words(std::string id) {
  std::ranges::replace(id, '-', ' ');
  return id;
}

Observable defect_from(TomlTable table, std::chrono::minutes absence_speaks) {
  const std::string id(name(table.word<CoreDefect>("name", core_defect_names)));
  Observable finding{id, as_words(id), table.number("leak", 0, 1), std::nullopt, absence_speaks};
  table.expect_no_other_key();
  return finding;
}

Observable check_from(TomlTable table) {
  Observable finding{table.text("checkpoint"), table.text("called"), table.number("false_alarm", 0, 1),
                     table.number("minutes", 0.1, 1000),
                     in_minutes(table.number("pass_speaks_hours", 0, 1000))};
  table.expect_no_other_key();
  return finding;
}

FaultLink link_from(const FaultNetwork& network, TomlTable table, std::string_view key) {
  const std::string id = table.text(key);
  const auto finding = network.finding_named(id);
  if (!finding || network.findings[*finding].is_checkpoint() != (key == "checkpoint"))
    table.wrong(key, "'" + id + "' is not known", "name one that this file lists");
  const FaultLink link{*finding, table.number("strength", 0, 1)};
  table.expect_no_other_key();
  return link;
}

void add_link(Fault& fault, const TomlTable& table, const FaultLink& link) {
  if (std::ranges::find(fault.links, link.finding, &FaultLink::finding) != fault.links.end())
    table.wrong("strength", "links one finding twice", "link a fault to each finding once");
  fault.links.push_back(link);
}

Fault fault_from(const FaultNetwork& network, TomlTable table) {
  Fault fault{table.text("id"), table.text("title"), table.number("prior", 0, 1), {}};
  for (const TomlTable& link : table.tables("causes"))
    add_link(fault, link, link_from(network, link, "defect"));
  if (table.has("shown_by"))
    for (const TomlTable& link : table.tables("shown_by"))
      add_link(fault, link, link_from(network, link, "checkpoint"));
  table.expect_no_other_key();
  return fault;
}

Telling telling_from(const FaultNetwork& network, TomlTable table) {
  const bool reading = table.has("reading");
  Telling telling{reading ? Telling::From::reading : Telling::From::calculation,
                  table.text(reading ? "reading" : "calculation"), 0};
  const std::string id = table.text("finding");
  const auto finding = network.finding_named(id);
  if (!finding) table.wrong("finding", "'" + id + "' is not known", "name one that this file lists");
  if (network.told_by(telling.from, telling.name))
    table.wrong(reading ? "reading" : "calculation", "'" + telling.name + "' stands twice",
                "let each count as one finding");
  telling.finding = *finding;
  table.expect_no_other_key();
  return telling;
}

// Nothing rules the finding out, yet nothing can bring it: seen, it would leave every fault impossible.
void expect_possible(const FaultNetwork& network, const TomlTable& head) {
  for (std::size_t i = 0; i < network.findings.size(); ++i) {
    const bool brought = std::ranges::any_of(network.faults, [&](const Fault& fault) {
      return fault.prior > 0 && std::ranges::any_of(fault.links, [&](const FaultLink& link) {
               return link.finding == i && link.strength > 0;
             });
    });
    if (!brought && network.findings[i].leak == 0)
      head.wrong("fault", "none of them brings '" + network.findings[i].id + "', and it has no leak",
                 "link a fault to it, or give it a leak or false alarm above 0");
  }
}

}  // namespace

std::optional<std::size_t> FaultNetwork::told_by(Telling::From from, std::string_view name) const {
  const auto at = std::ranges::find_if(
      tellings, [&](const Telling& telling) { return telling.from == from && telling.name == name; });
  if (at == tellings.end()) return std::nullopt;
  return at->finding;
}

std::optional<std::size_t> FaultNetwork::finding_named(std::string_view id) const {
  return place_of(findings, id);
}

std::optional<std::size_t> FaultNetwork::fault_named(std::string_view id) const {
  return place_of(faults, id);
}

FaultNetwork parse_faults(std::string_view toml, const std::string& file) {
  const toml::table whole = parse_toml(toml, file);
  TomlTable head(whole, file, "");
  FaultNetwork network{
      static_cast<int>(head.whole_number("version", 1, 1'000'000)), head.text("origin"), {}, {}};
  network.defect_speaks = std::chrono::days(head.whole_number("defect_speaks_days", 1, 10'000));
  const auto absence_speaks = in_minutes(head.number("absence_speaks_hours", 0, 1000));
  for (const TomlTable& table : head.tables("defect"))
    add_finding(network, table, defect_from(table, absence_speaks));
  for (const TomlTable& table : head.tables("check")) add_finding(network, table, check_from(table));
  for (const TomlTable& table : head.tables("fault")) {
    Fault fault = fault_from(network, table);
    if (network.fault_named(fault.id))
      table.wrong("id", "'" + fault.id + "' stands twice", "give each fault its own id");
    network.faults.push_back(std::move(fault));
  }
  if (head.has("telling"))
    for (const TomlTable& table : head.tables("telling"))
      network.tellings.push_back(telling_from(network, table));
  expect_possible(network, head);
  head.expect_no_other_key();
  return network;
}

const FaultNetwork& shipped_faults() {
  static const FaultNetwork network = parse_faults(shipped_faults_toml, "data/faults.toml");
  return network;
}

}  // namespace boxfettle
