// Tool-room jobs on one box, and the runs it is planned for.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "shop/entry.hpp"

namespace boxfettle {

struct ToolRoomJob {
  JobRaised raised;
  std::int64_t entry = 0;
  UtcTime at;
  std::optional<JobStarted> started;
  UtcTime started_at;
  bool operator==(const ToolRoomJob&) const = default;
};

struct PartsTaken {  // from the shelf, by a job when it was begun
  std::vector<PartNeeded> parts;
  std::int64_t entry = 0;
  bool operator==(const PartsTaken&) const = default;
};

struct JobBook {
  std::map<std::string, ToolRoomJob> open;    // by job; done and dropped ones leave
  std::map<std::string, RunPlanned> planned;  // by plan
  std::map<std::string, std::int64_t> settled;  // by what was to be done: the entry that ended the last such job
  std::vector<PartsTaken> taken;              // oldest first
  std::int64_t raised = 0;                    // jobs so far, for the next one's number
  std::int64_t plans = 0;                     // plans so far
  bool operator==(const JobBook&) const = default;
};

void tell(JobBook& jobs, const Entry& entry, const JobRaised& body);
void tell(JobBook& jobs, const Entry& entry, const JobStarted& body);
void tell(JobBook& jobs, const Entry& entry, const JobDone& body);
void tell(JobBook& jobs, const Entry& entry, const JobDropped& body);
void tell(JobBook& jobs, const Entry& entry, const RunPlanned& body);
void tell(JobBook& jobs, const Entry& entry, const RunUnplanned& body);
void tell(JobBook& jobs, const Entry& entry, const RunOpened& body);  // a run for an order ends its plan

}  // namespace boxfettle
