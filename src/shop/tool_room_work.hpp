// What the tool-room does about a finding: data (data/tool_room.toml), common practice from memory. A finding
// of a box becomes a proposed job, for a person to accept.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "shop/box_state.hpp"

namespace boxfettle {

struct ToolRoomWork {
  std::string what;
  std::string skill;
  double hours = 0;
  std::string caution;
  std::vector<std::string> checkpoints;  // whose failing it answers
  std::vector<std::string> findings;     // of a scan, by kind
  std::vector<std::string> computed;     // by what was computed
  std::vector<ComponentFitted::What> renews;
};

struct ToolRoomBook {
  std::string origin;  // of the hours, shown with every proposal
  std::vector<ToolRoomWork> work;
};

// Throws InputError naming the line or key: also when two jobs answer the same finding.
ToolRoomBook parse_tool_room(std::string_view toml, const std::string& file);

const ToolRoomBook& shipped_tool_room();

struct ProposedJob {
  JobRaised job;                   // without a number: that is given when it is raised
  std::vector<std::string> found;  // what it answers, each one sentence
  std::string caution;
  std::string origin;
  bool spares_listed = true;  // false: it renews parts, but the box lists no spare for them
};

// One for each kind of work that something found on the box asks for, in the order of the book; none for
// work that is an open job already, or was done or dropped after the finding.
std::vector<ProposedJob> proposed_jobs(const BoxState& box, const ToolRoomBook& book = shipped_tool_room());

}  // namespace boxfettle
