// Long work, kept in the database so that a worker which dies in the middle loses nothing: its lease runs out
// and another worker claims the job again.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/content_hash.hpp"
#include "shop/utc_time.hpp"
#include "store/database.hpp"

namespace boxfettle {

enum class JobState { queued, running, done, failed, cancelled };

std::string_view name(JobState state);  // "queued", "running", "done", "failed", "cancelled"

struct NewJob {
  std::string kind;  // "scan-reading"
  std::string box;
  std::string who;
  std::string file_name;  // as it was handed in
  ContentHash file;       // its kept content
  std::string settings;   // what the worker needs to know besides, in the worker's own form
};

struct JobProblem {
  std::string what, mend, place;
  bool operator==(const JobProblem&) const = default;
};

struct Job {
  std::string id;
  NewJob work;
  JobState state = JobState::queued;
  double share = 0;  // done, 0..1
  std::string step;
  UtcTime queued_at;
  int attempts = 0;    // how often it was claimed
  std::string result;  // when done: the reading's id; when failed: what to choose from, if a choice mends it
  JobProblem problem;  // when failed
  bool cancel_wanted = false;
};

struct Lease {
  std::chrono::milliseconds length =
      std::chrono::seconds{30};  // without a heartbeat, the worker counts as dead
  int attempts = 3;              // after so many dead workers the job fails: it is the job that kills them
};

class JobQueue {
 public:
  explicit JobQueue(Database& database) : database_(database) {}

  Job queue(const NewJob& work, UtcTime now);
  std::optional<Job> find(std::string_view id);
  std::vector<Job> open_of_box(std::string_view box);  // queued or running, oldest first

  // The oldest job that waits or whose worker died, now running in the hands of `worker`. Two workers never
  // get one job.
  std::optional<Job> claim(std::string_view worker, UtcTime now, const Lease& lease = {});

  // Tells progress and keeps the lease; a durable write, so a few times per second is plenty. False: stop, it
  // was cancelled or someone else has it.
  bool heartbeat(std::string_view id, std::string_view worker, double share, std::string_view step,
                 UtcTime now, const Lease& lease = {});

  // Each changes nothing and returns false when the job is no longer this worker's.
  bool finish(std::string_view id, std::string_view worker, std::string_view result);
  bool fail(std::string_view id, std::string_view worker, const JobProblem& problem,
            std::string_view choices = {});
  bool stopped(std::string_view id, std::string_view worker);  // the worker did as `cancel` told

  // A queued job is cancelled at once, a running one when its worker hears of it. False when there is no such
  // open job.
  bool cancel(std::string_view id);

 private:
  Database& database_;
};

}  // namespace boxfettle
