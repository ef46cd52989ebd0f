#include "service/worker.hpp"

#include <sys/resource.h>
#include <unistd.h>

#include <exception>
#include <new>

#include "geometry/several_bodies.hpp"
#include "input/input_error.hpp"
#include "reading/scan_reading.hpp"
#include "service/air_figures.hpp"
#include "service/air_study.hpp"
#include "service/page_json.hpp"
#include "service/scan_job.hpp"
#include "service/told_figures.hpp"
#include "store/store_error.hpp"
#include "venting/venting_study.hpp"

namespace boxfettle {
namespace {

constexpr int low_priority = 10;
constexpr std::chrono::milliseconds telling_pause{300};

WorkerSettings named(WorkerSettings settings) {
  if (settings.name.empty()) settings.name = "worker-" + std::to_string(::getpid());
  return settings;
}

JobProblem too_large(const Job& job) {
  if (job.work.kind == air_study_job)
    return {"The study needs more memory than this machine has", "Study the box on a larger machine", ""};
  return {"The scan needs more memory than this machine has", "Thin it or crop it to the part", ""};
}

JobProblem our_fault(const Job& job) {
  if (job.work.kind == air_study_job)
    return {"Something went wrong while the box was studied", "Ask again; if it stays, keep the box file",
            ""};
  return {"Something went wrong while the scan was read", "Send it again; if it stays, keep the scan", ""};
}

}  // namespace

Worker::Worker(Store& store, LiveShop& shop, EventFeed& feed, std::function<UtcTime()> now,
               std::function<void(const std::string&)> tell, WorkerSettings settings)
    : store_(store),
      shop_(shop),
      feed_(feed),
      now_(std::move(now)),
      tell_(std::move(tell)),
      settings_(named(std::move(settings))),
      thread_([this] { run(); }) {}

Worker::~Worker() {
  stopping_ = true;
  wake();
  thread_.join();
}

bool Worker::stopped_within(std::chrono::milliseconds time) {
  stopping_ = true;
  wake();
  std::unique_lock lock(mutex_);
  return woken_.wait_for(lock, time, [this] { return ended_; });
}

void Worker::wake() {
  {
    const std::scoped_lock lock(mutex_);
    work_waits_ = true;
  }
  woken_.notify_all();
}

void Worker::run() {
  // On Linux this is the priority of the thread, and of those it starts.
  ::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), low_priority);
  while (!stopping_) {
    if (do_next_job()) continue;
    std::unique_lock lock(mutex_);
    woken_.wait_for(lock, settings_.look_again, [this] { return work_waits_; });
    work_waits_ = false;
  }
  {
    const std::scoped_lock lock(mutex_);
    ended_ = true;
  }
  woken_.notify_all();
}

bool Worker::do_next_job() {
  try {
    const auto job = store_.jobs.claim(settings_.name, now_(), settings_.lease);
    if (!job) return false;
    do_job(*job);
    return true;
  } catch (const std::exception& error) {
    // The record itself cannot be reached. The job's lease runs out, and it is tried again.
    tell_(std::string("the worker cannot use the record: ") + error.what());
    return false;
  }
}

void Worker::do_job(const Job& job) {
  last_told_ = {};
  try {
    finish(job);
  } catch (const ReadingCancelled&) {
    stopped(job);
  } catch (const VentingCancelled&) {
    stopped(job);
  } catch (const SeveralBodies& error) {
    store_.jobs.fail(job.id, settings_.name, {error.fault(), error.mend(), error.place()},
                     written(bodies_json(error.choice())));
    publish(job.id);
  } catch (const InputError& error) {
    fail(job, {error.fault(), error.mend(), error.place()});
  } catch (const std::bad_alloc&) {
    fail(job, too_large(job));
  } catch (const StoreError&) {
    throw;
  } catch (const std::exception& error) {
    tell_("job " + job.id + " failed: " + error.what());
    fail(job, our_fault(job));
  }
}

void Worker::finish(const Job& job) {
  const auto box = shop_.box(job.work.box);
  if (!box) throw InputError(job.work.file_name, "", "its box is no longer registered", "register the box");
  if (job.work.kind == air_study_job) return finish_air_study(job, *box);
  if (job.work.kind == scan_reading_job) return finish_scan(job, *box);
  throw InputError(job.work.kind, "", "is work that this program does not know", "start the newer program");
}

void Worker::finish_scan(const Job& job, const BoxState& box) {
  FinishedScanJob done = do_scan_job(
      job, box, store_.files, [&](double share, std::string_view step) { return keep_on(job, share, step); });
  if (!is_still_ours(job)) throw ReadingCancelled{};
  store_.readings.put(done.kept);
  // Whoever sent the scan signs the entry; recording what a scan said needs no role.
  const Request record{"scan-of-" + job.id, job.work.box, RecordScan{std::move(done.entry)}};
  const CarriedOut written = shop_.carry_out(record, {job.work.who, Role::operator_}, now_());
  if (const auto* refusal = std::get_if<Refusal>(&written))
    return fail(job, {refusal->what, refusal->mend, ""});
  store_.jobs.finish(job.id, settings_.name, done.kept.id);
  publish(job.id);
}

void Worker::finish_air_study(const Job& job, const BoxState& box) {
  auto inputs = air_inputs(box, store_);
  if (!inputs)
    throw InputError("box file", "", "the box has no box file or no design on record any more",
                     "register it again with both");
  inputs->tried = air_job_tried(job.work.settings);
  const StoredReading study = do_air_study(
      *inputs, store_.files, [&](double share, std::string_view step) { return keep_on(job, share, step); });
  if (!is_still_ours(job)) throw VentingCancelled{};
  keep_air_study(study, *inputs, store_.readings);
  if (inputs->tried.empty()) tell_as_found(job, study, inputs->box.process);
  store_.jobs.finish(job.id, settings_.name, study.id);
  publish(job.id);
}

// What a study of the box as found says stands among the reasons of its verdict, in the name of whoever
// asked. When the vents have changed meanwhile, the box is studied once more instead.
void Worker::tell_as_found(const Job& job, const StoredReading& study, Process process) {
  const auto now_found = air_inputs(*shop_.box(job.work.box), store_);
  if (!now_found) return;
  if (now_found->study_id() != study.id) {
    store_.jobs.queue(job.work, now_());
    return;
  }
  tell_figures(study_figures(nlohmann::json::parse(study.json), process), job.work.box, job.id,
               {job.work.who, Role::operator_}, shop_, now_());
}

void Worker::stopped(const Job& job) {
  if (stopping_) return;
  store_.jobs.stopped(job.id, settings_.name);
  publish(job.id);
}

// False when someone cancelled it, or its lease ran out and another worker took it.
bool Worker::is_still_ours(const Job& job) {
  const auto now = store_.jobs.find(job.id);
  return now && now->state == JobState::running && !now->cancel_wanted;
}

void Worker::fail(const Job& job, const JobProblem& problem) {
  store_.jobs.fail(job.id, settings_.name, problem);
  publish(job.id);
}

bool Worker::keep_on(const Job& job, double share, std::string_view step) {
  if (stopping_) return false;
  const auto now = std::chrono::steady_clock::now();
  if (now - last_told_ < telling_pause) return true;
  last_told_ = now;
  if (!store_.jobs.heartbeat(job.id, settings_.name, share, step, now_(), settings_.lease)) return false;
  publish(job.id);
  return true;
}

void Worker::publish(const std::string& job) {
  if (const auto found = store_.jobs.find(job)) feed_.publish("job", written(job_json(*found)));
}

}  // namespace boxfettle
