#include "store/job_queue.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "store/random_id.hpp"
#include "store/store_error.hpp"

namespace boxfettle {
namespace {

constexpr std::array<std::string_view, 5> state_names{"queued", "running", "done", "failed", "cancelled"};

const std::string columns =
    "SELECT id, kind, box, who, file_name, file, settings, state, share, step, queued_ms, attempts, result, "
    "what,"
    " mend, place, cancel FROM jobs ";

JobState state_named(const std::string& text) {
  const auto at = std::find(state_names.begin(), state_names.end(), text);
  if (at == state_names.end())
    throw StoreError(StoreFault::damaged, "the record: a job has a state that is not known");
  return static_cast<JobState>(at - state_names.begin());
}

Job job_in(const SqlRow& row) {
  return {.id = as_text(row[0]),
          .work = {as_text(row[1]), as_text(row[2]), as_text(row[3]), as_text(row[4]), as_hash(row[5]),
                   as_text(row[6])},
          .state = state_named(as_text(row[7])),
          .share = as_real(row[8]),
          .step = as_text(row[9]),
          .queued_at = {as_integer(row[10])},
          .attempts = static_cast<int>(as_integer(row[11])),
          .result = as_text(row[12]),
          .problem = {as_text(row[13]), as_text(row[14]), as_text(row[15])},
          .cancel_wanted = as_integer(row[16]) != 0};
}

std::optional<Job> job_of(Access& use, const std::string& id) {
  const auto rows = use.run(columns + "WHERE id = ?", {id});
  return rows.empty() ? std::nullopt : std::optional(job_in(rows[0]));
}

// A dead worker's job ends here when it was cancelled, or has already cost too many workers.
void end_hopeless(Access& use, UtcTime now, const Lease& lease) {
  use.run("UPDATE jobs SET state = 'cancelled' WHERE state = 'running' AND lease_ends_ms <= ? AND cancel = 1",
          {now.ms_since_epoch});
  use.run(
      "UPDATE jobs SET state = 'failed', what = ?, mend = ? WHERE state = 'running' AND lease_ends_ms <= ? "
      "AND attempts >= ?",
      {std::string("the work stopped without an answer, each time it was tried"),
       std::string("check the file; if it is very large, give a coarser one, and tell whoever looks after "
                   "this program"),
       now.ms_since_epoch, std::int64_t{lease.attempts}});
}

constexpr std::string_view waiting =
    "SELECT id FROM jobs WHERE state = 'queued' OR (state = 'running' AND lease_ends_ms <= ?) ORDER BY "
    "number LIMIT 1";

}  // namespace

std::string_view name(JobState state) {
  return state_names[static_cast<std::size_t>(state)];
}

Job JobQueue::queue(const NewJob& work, UtcTime now) {
  Job job{.id = random_hex(16),
          .work = work,
          .state = JobState::queued,
          .share = 0,
          .step = "",
          .queued_at = now,
          .attempts = 0,
          .result = "",
          .problem = {},
          .cancel_wanted = false};
  database_.access().run(
      "INSERT INTO jobs (id, kind, box, who, file_name, file, settings, state, share, step, queued_ms, "
      "attempts, result,"
      " what, mend, place, cancel, worker, lease_ends_ms)"
      " VALUES (?, ?, ?, ?, ?, ?, ?, 'queued', 0.0, '', ?, 0, '', '', '', '', 0, '', 0)",
      {job.id, work.kind, work.box, work.who, work.file_name, blob_of(work.file), work.settings,
       now.ms_since_epoch});
  return job;
}

std::optional<Job> JobQueue::find(std::string_view id) {
  Access use = database_.access();
  return job_of(use, std::string(id));
}

std::vector<Job> JobQueue::open_of_box(std::string_view box) {
  Access use = database_.access();
  std::vector<Job> jobs;
  for (const SqlRow& row : use.run(
           columns + "WHERE box = ? AND state IN ('queued', 'running') ORDER BY number", {std::string(box)}))
    jobs.push_back(job_in(row));
  return jobs;
}

std::optional<Job> JobQueue::claim(std::string_view worker, UtcTime now, const Lease& lease) {
  Access use = database_.access();
  // Workers ask often and mostly in vain: look before taking the write lock.
  if (use.run(waiting, {now.ms_since_epoch}).empty()) return std::nullopt;
  Transaction change(use);
  end_hopeless(use, now, lease);
  std::optional<Job> claimed;
  if (const auto next = use.run(waiting, {now.ms_since_epoch}); !next.empty()) {
    const std::string& id = as_text(next[0][0]);
    use.run(
        "UPDATE jobs SET state = 'running', worker = ?, lease_ends_ms = ?, attempts = attempts + 1, share = "
        "0.0, step = ''"
        " WHERE id = ?",
        {std::string(worker), (now + lease.length).ms_since_epoch, id});
    claimed = job_of(use, id);
  }
  change.commit();
  return claimed;
}

bool JobQueue::heartbeat(std::string_view id, std::string_view worker, double share, std::string_view step,
                         UtcTime now, const Lease& lease) {
  const double sound_share = std::isfinite(share) ? std::clamp(share, 0.0, 1.0) : 0.0;
  Access use = database_.access();
  const auto rows = use.run(
      "UPDATE jobs SET share = ?, step = ?, lease_ends_ms = ? WHERE id = ? AND worker = ? AND state = "
      "'running'"
      " RETURNING cancel",
      {sound_share, std::string(step), (now + lease.length).ms_since_epoch, std::string(id),
       std::string(worker)});
  return !rows.empty() && as_integer(rows[0][0]) == 0;
}

bool JobQueue::finish(std::string_view id, std::string_view worker, std::string_view result) {
  Access use = database_.access();
  use.run(
      "UPDATE jobs SET state = 'done', share = 1.0, result = ? WHERE id = ? AND worker = ? AND state = "
      "'running'",
      {std::string(result), std::string(id), std::string(worker)});
  return use.changed_rows() == 1;
}

bool JobQueue::fail(std::string_view id, std::string_view worker, const JobProblem& problem,
                    std::string_view choices) {
  Access use = database_.access();
  use.run(
      "UPDATE jobs SET state = 'failed', what = ?, mend = ?, place = ?, result = ? WHERE id = ? AND worker = "
      "? AND state = 'running'",
      {problem.what, problem.mend, problem.place, std::string(choices), std::string(id),
       std::string(worker)});
  return use.changed_rows() == 1;
}

bool JobQueue::stopped(std::string_view id, std::string_view worker) {
  Access use = database_.access();
  use.run(
      "UPDATE jobs SET state = 'cancelled' WHERE id = ? AND worker = ? AND state = 'running' AND cancel = 1",
      {std::string(id), std::string(worker)});
  return use.changed_rows() == 1;
}

bool JobQueue::cancel(std::string_view id) {
  Access use = database_.access();
  use.run(
      "UPDATE jobs SET cancel = 1, state = CASE state WHEN 'queued' THEN 'cancelled' ELSE state END"
      " WHERE id = ? AND state IN ('queued', 'running')",
      {std::string(id)});
  return use.changed_rows() == 1;
}

}  // namespace boxfettle
