// Takes queued jobs from the store, one after the other, on a thread of its own that yields to everyone else.
//
// A job is done in the order: result kept, entry in the logbook (of a scan, or of a box studied as found),
// job finished. Whoever dies in between leaves a job whose lease runs out; doing it again keeps the same
// result and writes no second entry.
#pragma once

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <functional>
#include <mutex>
#include <string>
#include <thread>

#include "corebox/core_box.hpp"
#include "service/event_feed.hpp"
#include "service/live_shop.hpp"
#include "store/store.hpp"

namespace boxfettle {

struct WorkerSettings {
  std::string name;  // no other worker on the record has it; empty: one is made from the process id
  std::chrono::milliseconds look_again{2000};  // for jobs that another program queued
  Lease lease{std::chrono::seconds{60}};
};

class Worker {
 public:
  // Starts. `tell` hears of faults of ours, one line each. Store, shop and feed outlive the worker.
  Worker(Store& store, LiveShop& shop, EventFeed& feed, std::function<UtcTime()> now,
         std::function<void(const std::string&)> tell, WorkerSettings settings = {});
  // Stops a reading at its next step and waits for it; the job stays queued for whoever comes next.
  ~Worker();
  Worker(const Worker&) = delete;
  Worker& operator=(const Worker&) = delete;

  void wake();  // a job was queued

  // Tells the worker to stop, and whether it has within the time. A reading hears of it at its next step
  // only; a program in a hurry may end without it, as the job is done anew once its lease runs out.
  bool stopped_within(std::chrono::milliseconds time);

 private:
  void run();
  bool do_next_job();  // false: there is none
  void do_job(const Job& job);
  void finish(const Job& job);
  void finish_scan(const Job& job, const BoxState& box);
  void finish_air_study(const Job& job, const BoxState& box);
  void tell_as_found(const Job& job, const StoredReading& study, Process process);
  void stopped(const Job& job);
  bool is_still_ours(const Job& job);
  void fail(const Job& job, const JobProblem& problem);
  bool keep_on(const Job& job, double share, std::string_view step);
  void publish(const std::string& job);

  Store& store_;
  LiveShop& shop_;
  EventFeed& feed_;
  const std::function<UtcTime()> now_;
  const std::function<void(const std::string&)> tell_;
  const WorkerSettings settings_;

  std::mutex mutex_;
  std::condition_variable woken_;
  bool work_waits_ = false;
  bool ended_ = false;
  std::atomic<bool> stopping_ = false;
  std::chrono::steady_clock::time_point last_told_{};  // of the job at hand
  std::thread thread_;                                 // last: it uses all of the above
};

}  // namespace boxfettle
