#include "shop/job_book.hpp"

namespace boxfettle {
namespace {

void settle(JobBook& jobs, const Entry& entry, const std::string& number) {
  const auto job = jobs.open.find(number);
  if (job == jobs.open.end()) return;
  jobs.settled[job->second.raised.what] = entry.seq;
  jobs.open.erase(job);
}

}  // namespace

void tell(JobBook& jobs, const Entry& entry, const JobRaised& body) {
  ++jobs.raised;
  jobs.open[body.job] = {body, entry.seq, entry.at, {}, {}};
}

void tell(JobBook& jobs, const Entry& entry, const JobStarted& body) {
  const auto job = jobs.open.find(body.job);
  if (job == jobs.open.end()) return;
  if (!job->second.started && !job->second.raised.parts.empty())
    jobs.taken.push_back({job->second.raised.parts, entry.seq});
  job->second.started = body;
  job->second.started_at = entry.at;
}

void tell(JobBook& jobs, const Entry& entry, const JobDone& body) {
  settle(jobs, entry, body.job);
}

void tell(JobBook& jobs, const Entry& entry, const JobDropped& body) {
  settle(jobs, entry, body.job);
}

void tell(JobBook& jobs, const Entry&, const RunPlanned& body) {
  jobs.plans += jobs.planned.insert_or_assign(body.plan, body).second ? 1 : 0;
}

void tell(JobBook& jobs, const Entry&, const RunUnplanned& body) {
  jobs.planned.erase(body.plan);
}

void tell(JobBook& jobs, const Entry&, const RunOpened& body) {
  if (body.order.empty()) return;
  std::erase_if(jobs.planned, [&](const auto& planned) { return planned.second.order == body.order; });
}

}  // namespace boxfettle
