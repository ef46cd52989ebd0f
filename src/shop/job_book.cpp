#include "shop/job_book.hpp"

namespace boxfettle {

void tell(JobBook& jobs, const Entry& entry, const JobRaised& body) {
  ++jobs.raised;
  jobs.open[body.job] = {body, entry.seq, entry.at, {}, {}};
}

void tell(JobBook& jobs, const Entry& entry, const JobStarted& body) {
  const auto job = jobs.open.find(body.job);
  if (job == jobs.open.end()) return;
  job->second.started = body;
  job->second.started_at = entry.at;
}

void tell(JobBook& jobs, const Entry&, const JobDone& body) {
  jobs.open.erase(body.job);
}

void tell(JobBook& jobs, const Entry&, const JobDropped& body) {
  jobs.open.erase(body.job);
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
