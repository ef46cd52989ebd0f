#include "store/job_queue.hpp"

#include <gmock/gmock.h>

#include <limits>
#include <set>
#include <thread>

#include "store/scratch_dir.hpp"

namespace boxfettle {
namespace {

using std::chrono::seconds;

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");

class Jobs : public testing::Test {
 protected:
  Job queued(const std::string& box = "TM-0412") {
    return jobs.queue({"scan-reading", box, "Asha", "volute.ply", content_hash("scan"), "unit=auto"}, monday);
  }

  ScratchDir dir;
  Database database{dir.path() / "record.sqlite"};
  JobQueue jobs{database};
  Lease lease;
};

TEST_F(Jobs, AScanIsClaimedOnceInTheOrderItCame) {
  const Job first = queued(), second = queued();
  const auto claimed = jobs.claim("w1", monday);
  ASSERT_TRUE(claimed);
  EXPECT_EQ(claimed->id, first.id);
  EXPECT_EQ(claimed->state, JobState::running);
  EXPECT_EQ(claimed->work.file, content_hash("scan"));
  EXPECT_EQ(claimed->work.settings, "unit=auto");
  EXPECT_EQ(jobs.claim("w2", monday)->id, second.id);
  EXPECT_FALSE(jobs.claim("w3", monday));
}

TEST_F(Jobs, AFinishedReadingNamesItsResult) {
  const Job job = queued();
  jobs.claim("w1", monday);
  EXPECT_TRUE(jobs.heartbeat(job.id, "w1", 0.4, "finding the pose", monday));
  EXPECT_DOUBLE_EQ(jobs.find(job.id)->share, 0.4);
  EXPECT_EQ(jobs.open_of_box("TM-0412").size(), 1u);
  EXPECT_TRUE(jobs.finish(job.id, "w1", "reading-1"));
  EXPECT_EQ(jobs.find(job.id)->state, JobState::done);
  EXPECT_EQ(jobs.find(job.id)->result, "reading-1");
  EXPECT_THAT(jobs.open_of_box("TM-0412"), testing::IsEmpty());
  EXPECT_FALSE(jobs.finish(job.id, "w1", "reading-2"));
}

TEST_F(Jobs, ABadScanFailsWithWhatToDo) {
  const Job job = queued();
  jobs.claim("w1", monday);
  const JobProblem problem{"the scan has 3 points", "export it again", "line 4"};
  EXPECT_TRUE(jobs.fail(job.id, "w1", problem));
  EXPECT_EQ(jobs.find(job.id)->state, JobState::failed);
  EXPECT_EQ(jobs.find(job.id)->problem, problem);
}

TEST_F(Jobs, ADeadWorkersJobIsClaimedAgainAndTheDeadOneHasNoSayLeft) {
  const Job job = queued();
  jobs.claim("w1", monday);
  EXPECT_FALSE(jobs.claim("w2", monday + lease.length - seconds{1}));
  const auto again = jobs.claim("w2", monday + lease.length);
  ASSERT_TRUE(again);
  EXPECT_EQ(again->id, job.id);
  EXPECT_EQ(again->attempts, 2);
  EXPECT_FALSE(jobs.heartbeat(job.id, "w1", 0.9, "late", monday + lease.length));
  EXPECT_FALSE(jobs.finish(job.id, "w1", "reading-1"));
  EXPECT_TRUE(jobs.finish(job.id, "w2", "reading-2"));
}

TEST_F(Jobs, AHeartbeatKeepsTheLease) {
  const Job job = queued();
  jobs.claim("w1", monday);
  EXPECT_TRUE(jobs.heartbeat(job.id, "w1", 0.5, "aligning", monday + seconds{20}));
  EXPECT_FALSE(jobs.claim("w2", monday + seconds{40}));
  EXPECT_TRUE(jobs.claim("w2", monday + seconds{50}));
}

TEST_F(Jobs, AFileThatKillsEveryWorkerFailsInsteadOfGoingRound) {
  const Job job = queued();
  UtcTime now = monday;
  for (int i = 0; i < lease.attempts; ++i, now = now + lease.length) ASSERT_TRUE(jobs.claim("w", now)) << i;
  EXPECT_FALSE(jobs.claim("w", now));
  EXPECT_EQ(jobs.find(job.id)->state, JobState::failed);
  EXPECT_FALSE(jobs.find(job.id)->problem.mend.empty());
}

TEST_F(Jobs, AQueuedJobIsCancelledAtOnceARunningOneByItsWorker) {
  const Job running = queued(), waiting = queued();
  jobs.claim("w1", monday);
  EXPECT_TRUE(jobs.cancel(waiting.id));
  EXPECT_EQ(jobs.find(waiting.id)->state, JobState::cancelled);
  EXPECT_FALSE(jobs.claim("w2", monday));
  EXPECT_TRUE(jobs.cancel(running.id));
  EXPECT_FALSE(jobs.heartbeat(running.id, "w1", 0.5, "aligning", monday));
  EXPECT_TRUE(jobs.stopped(running.id, "w1"));
  EXPECT_EQ(jobs.find(running.id)->state, JobState::cancelled);
  EXPECT_FALSE(jobs.cancel(running.id));
  EXPECT_FALSE(jobs.cancel("no such job"));
}

TEST_F(Jobs, ACancelledJobOfADeadWorkerIsNotTriedAgain) {
  const Job job = queued();
  jobs.claim("w1", monday);
  jobs.cancel(job.id);
  EXPECT_FALSE(jobs.claim("w2", monday + lease.length));
  EXPECT_EQ(jobs.find(job.id)->state, JobState::cancelled);
}

TEST_F(Jobs, AShareThatIsNoNumberIsNotStored) {
  const Job job = queued();
  jobs.claim("w1", monday);
  jobs.heartbeat(job.id, "w1", std::numeric_limits<double>::quiet_NaN(), "", monday);
  EXPECT_EQ(jobs.find(job.id)->share, 0);
}

TEST_F(Jobs, ManyWorkersNeverGetTheSameJob) {
  constexpr int count = 40;
  for (int i = 0; i < count; ++i) queued();
  std::vector<std::vector<std::string>> taken(4);
  std::vector<std::thread> crew;
  for (std::size_t w = 0; w < taken.size(); ++w)
    crew.emplace_back([&, w] {
      while (const auto job = jobs.claim("w" + std::to_string(w), monday)) taken[w].push_back(job->id);
    });
  for (std::thread& one : crew) one.join();
  std::set<std::string> all;
  std::size_t claims = 0;
  for (const auto& some : taken) {
    claims += some.size();
    all.insert(some.begin(), some.end());
  }
  EXPECT_EQ(claims, static_cast<std::size_t>(count));
  EXPECT_EQ(all.size(), static_cast<std::size_t>(count));
}

}  // namespace
}  // namespace boxfettle
