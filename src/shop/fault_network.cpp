#include "shop/fault_network.hpp"

#include <algorithm>

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
    table.wrong("id", "'" + finding.id + "' stands twice", "name each finding once");
  network.findings.push_back(std::move(finding));
}

Observable defect_from(TomlTable table) {
  const std::string id(name(table.word<CoreDefect>("name", core_defect_names)));
  Observable finding{id, id, table.number("leak", 0, 1), std::nullopt};
  table.expect_no_other_key();
  return finding;
}

Observable check_from(TomlTable table) {
  Observable finding{table.text("checkpoint"), table.text("called"), table.number("false_alarm", 0, 1),
                     table.number("minutes", 0.1, 1000)};
  table.expect_no_other_key();
  return finding;
}

FaultLink link_from(const FaultNetwork& network, TomlTable table, std::string_view key) {
  const std::string id = table.text(key);
  const auto finding = network.finding_named(id);
  if (!finding || network.findings[*finding].minutes.has_value() != (key == "checkpoint"))
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

}  // namespace

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
  for (const TomlTable& table : head.tables("defect")) add_finding(network, table, defect_from(table));
  for (const TomlTable& table : head.tables("check")) add_finding(network, table, check_from(table));
  for (const TomlTable& table : head.tables("fault")) {
    Fault fault = fault_from(network, table);
    if (network.fault_named(fault.id))
      table.wrong("id", "'" + fault.id + "' stands twice", "give each fault its own id");
    network.faults.push_back(std::move(fault));
  }
  head.expect_no_other_key();
  return network;
}

const FaultNetwork& shipped_faults() {
  static const FaultNetwork network = parse_faults(shipped_faults_toml, "data/faults.toml");
  return network;
}

}  // namespace boxfettle
