#include "shop/rules.hpp"

namespace boxfettle {
namespace {

std::optional<Refusal> no_open_job(const Question& question, const std::string& job) {
  if (question.state.jobs.open.contains(job)) return std::nullopt;
  return Refusal{"Job " + job + " is not open on this box.", "Load the tool-room's page again."};
}

std::string numbered(const Question& question, char letter, std::int64_t before) {
  return question.state.box + "/" + letter + std::to_string(before + 1);
}

constexpr std::initializer_list<Role> plan_runs{Role::supervisor, Role::quality, Role::tooling};
constexpr std::initializer_list<Role> do_jobs{Role::fitter, Role::tooling};

}  // namespace

Answer told_by_rule(const Question& question, const JobRaised& body) {
  if (!(body.hours > 0) || body.hours > 2000)
    return Refusal{"How long will the job take?", "Give the hours, more than 0 and at most 2000."};
  if (!body.after.empty())
    if (auto refusal = no_open_job(question, body.after)) return *refusal;
  JobRaised raised = body;
  raised.job = numbered(question, 'J', question.state.jobs.raised);
  return std::vector<EntryBody>{raised};
}

Answer told_by_rule(const Question& question, const JobStarted& body) {
  if (auto refusal = only_for(question.person, do_jobs, "start a tool-room job")) return *refusal;
  if (auto refusal = no_open_job(question, body.job)) return *refusal;
  if (question.state.runs.open)
    return Refusal{"Run " + question.state.runs.open->opened.run + " is open in this box.",
                   "Close the run before hands go into the box."};
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const JobDone& body) {
  if (auto refusal = only_for(question.person, do_jobs, "finish a tool-room job")) return *refusal;
  if (auto refusal = no_open_job(question, body.job)) return *refusal;
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const JobDropped& body) {
  if (auto refusal =
          only_for(question.person, {Role::fitter, Role::tooling, Role::supervisor}, "drop a tool-room job"))
    return *refusal;
  if (auto refusal = no_open_job(question, body.job)) return *refusal;
  return std::vector<EntryBody>{body};
}

Answer told_by_rule(const Question& question, const RunPlanned& body) {
  if (auto refusal = only_for(question.person, plan_runs, "plan runs")) return *refusal;
  if (question.state.scrapped) return Refusal{"The box is scrapped.", "Plan the run for another box."};
  RunPlanned planned = body;
  if (!question.state.jobs.planned.contains(body.plan))
    planned.plan = numbered(question, 'P', question.state.jobs.plans);
  return std::vector<EntryBody>{planned};
}

Answer told_by_rule(const Question& question, const RunUnplanned& body) {
  if (auto refusal = only_for(question.person, plan_runs, "take out a planned run")) return *refusal;
  if (!question.state.jobs.planned.contains(body.plan))
    return Refusal{"No run " + body.plan + " is planned for this box.", "Load the page again."};
  return std::vector<EntryBody>{body};
}

}  // namespace boxfettle
