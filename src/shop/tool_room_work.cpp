#include "shop/tool_room_work.hpp"

#include <algorithm>
#include <set>

#include "shop/entry_fields.hpp"
#include "shop/sentence.hpp"
#include "shop/toml_table.hpp"

namespace boxfettle {

extern const std::string_view shipped_tool_room_toml;  // data/tool_room.toml, embedded by the build

namespace {

constexpr double most_hours = 2000;

bool listed(const std::vector<std::string>& names, const std::string& name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

ComponentFitted::What component_named(const TomlTable& table, const std::string& name) {
  const auto known = std::find(component_names.begin(), component_names.end(), name);
  if (known == component_names.end())
    table.wrong("renews", "'" + name + "' is no kind of component", "use dowel, bush, vent, clamp, ...");
  return static_cast<ComponentFitted::What>(known - component_names.begin());
}

ToolRoomWork work_from(TomlTable table, std::set<std::string>& answered) {
  ToolRoomWork work;
  work.what = table.text("what");
  work.skill = table.text("skill");
  work.hours = table.number("hours", 0.25, most_hours);
  work.caution = table.text("caution", false);
  work.checkpoints = table.texts("checkpoints");
  work.findings = table.texts("findings");
  work.computed = table.texts("computed");
  for (const std::string& name : table.texts("renews")) work.renews.push_back(component_named(table, name));
  table.expect_no_other_key();
  const auto once = [&](const std::vector<std::string>& names, const std::string& key) {
    for (const std::string& name : names)
      if (!answered.insert(key + " " + name).second)
        table.wrong(key, "'" + name + "' is answered by another job too", "leave it in one of them");
  };
  once(work.checkpoints, "checkpoints");
  once(work.findings, "findings");
  once(work.computed, "computed");
  return work;
}

struct Found {
  std::string text;
  std::int64_t entry = 0;
};

std::vector<Found> found_for(const ToolRoomWork& work, const BoxState& box) {
  std::vector<Found> found;
  for (const std::string& id : work.checkpoints) {
    const auto last = box.results.find(id);
    if (last == box.results.end() || last->second.result.passed) continue;
    const std::string& remark = last->second.result.remark;
    found.push_back({"Inspection: " + id + " failed" + (remark.empty() ? "." : ": " + ended(remark)),
                     last->second.entry});
  }
  for (const auto& [of, last] : box.last_telling_scan)
    for (const ScanRead::Finding& finding : last.scan.findings)
      if (finding.severity != "note" && listed(work.findings, finding.kind))
        found.push_back({"Scan: " + ended(finding.text), last.entry});
  for (const std::string& what : work.computed) {
    const auto last = box.computed.find(what);
    if (last == box.computed.end() || last->second.computed.verdict == Computed::Verdict::fit) continue;
    found.push_back({ended(last->second.computed.text), last->second.entry});
  }
  return found;
}

std::vector<PartNeeded> parts_for(const ToolRoomWork& work, const BoxState& box) {
  std::map<std::string, std::int64_t> counts;
  for (const auto& [id, known] : box.components)
    if (!known.fitted.spare.empty() &&
        std::find(work.renews.begin(), work.renews.end(), known.fitted.what) != work.renews.end())
      ++counts[known.fitted.spare];
  std::vector<PartNeeded> parts;
  for (const auto& [spare, count] : counts) parts.push_back({spare, count});
  return parts;
}

bool dealt_with(const JobBook& jobs, const std::string& what, std::int64_t found_at) {
  const auto settled = jobs.settled.find(what);
  if (settled != jobs.settled.end() && settled->second > found_at) return true;
  return std::any_of(jobs.open.begin(), jobs.open.end(),
                     [&](const auto& job) { return job.second.raised.what == what; });
}

}  // namespace

ToolRoomBook parse_tool_room(std::string_view toml, const std::string& file) {
  const toml::table whole = parse_toml(toml, file);
  TomlTable head(whole, file, "");
  ToolRoomBook book{head.text("origin"), {}};
  std::set<std::string> answered;
  for (const TomlTable& table : head.tables("job")) book.work.push_back(work_from(table, answered));
  head.expect_no_other_key();
  return book;
}

const ToolRoomBook& shipped_tool_room() {
  static const ToolRoomBook book = parse_tool_room(shipped_tool_room_toml, "data/tool_room.toml");
  return book;
}

std::vector<ProposedJob> proposed_jobs(const BoxState& box, const ToolRoomBook& book) {
  std::vector<ProposedJob> proposed;
  if (box.scrapped) return proposed;
  for (const ToolRoomWork& work : book.work) {
    const std::vector<Found> found = found_for(work, box);
    if (found.empty()) continue;
    const auto last = std::max_element(found.begin(), found.end(),
                                       [](const Found& a, const Found& b) { return a.entry < b.entry; });
    if (dealt_with(box.jobs, work.what, last->entry)) continue;
    ProposedJob job{{"", work.what, work.skill, work.hours, parts_for(work, box), last->entry, ""},
                    {},
                    work.caution,
                    book.origin,
                    true};
    for (const Found& one : found) job.found.push_back(one.text);
    job.spares_listed = work.renews.empty() || !job.job.parts.empty();
    proposed.push_back(std::move(job));
  }
  return proposed;
}

}  // namespace boxfettle
