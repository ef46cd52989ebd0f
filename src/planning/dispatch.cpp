#include "planning/dispatch.hpp"

#include <algorithm>
#include <cmath>
#include <random>

namespace boxfettle {
namespace {

// Fills timetables for one problem, one after the other, without asking for memory again.
class Bench {
 public:
  explicit Bench(const PlanProblem& problem) : problem_(problem), placed_(problem.jobs.size()) {
    table_.jobs.resize(problem.jobs.size());
    for (const PlanFitter& fitter : problem.fitters) next_from_.push_back(first_hour_from(fitter.working));
  }

  // False when somebody's hours run out.
  bool fill(const JobOrder& order) {
    next_.assign(problem_.fitters.size(), 0);
    box_free_.assign(problem_.boxes.size(), 0);
    placed_.assign(placed_.size(), false);
    there_.clear();
    for (const PlanSupply& supply : problem_.supplies) there_.push_back(supply.there);
    for (const bool begun : {true, false})
      for (const std::size_t job : order.jobs)
        if ((problem_.jobs[job].begun || !begun) && !place(job, order)) return false;
    table_.lateness = 0;
    for (std::size_t i = 0; i < box_free_.size(); ++i)
      table_.lateness += lateness(problem_.boxes[i], box_free_[i]);
    return true;
  }

  const Timetable& table() const { return table_; }

  void note_late(std::vector<char>& late) const {
    late.resize(box_free_.size());
    for (std::size_t i = 0; i < late.size(); ++i) late[i] = lateness(problem_.boxes[i], box_free_[i]) > 0;
  }

 private:
  // By time: the place of the first working half hour from then on.
  static std::vector<std::size_t> first_hour_from(const std::vector<std::int64_t>& working) {
    std::vector<std::size_t> first;
    for (std::size_t i = 0; i < working.size(); ++i) first.resize(static_cast<std::size_t>(working[i]) + 1, i);
    return first;
  }
  std::size_t next_hour(std::size_t fitter, std::int64_t from) const {
    const auto& first = next_from_[fitter];
    const auto at = static_cast<std::size_t>(from);
    return at < first.size() ? first[at] : problem_.fitters[fitter].working.size();
  }

  bool place(std::size_t index, const JobOrder& order) {
    if (placed_[index]) return true;
    const PlanJob& job = problem_.jobs[index];
    if (job.after && !place(*job.after, order)) return false;
    const auto best = quickest(job, ready_from(job), order.fitter[index]);
    if (!best) return false;
    for (const PlanNeed& need : job.needs)
      if (best->start < problem_.supplies[need.supply].arrives) there_[need.supply] -= need.count;
    next_[best->fitter] = next_hour(best->fitter, best->end);
    box_free_[job.box] = best->end;
    table_.jobs[index] = *best;
    placed_[index] = true;
    return true;
  }

  std::int64_t ready_from(const PlanJob& job) const {
    std::int64_t ready = std::max(job.earliest, box_free_[job.box]);
    for (const PlanNeed& need : job.needs)
      if (there_[need.supply] < need.count) ready = std::max(ready, problem_.supplies[need.supply].arrives);
    return ready;
  }

  std::optional<PlacedJob> by(std::size_t fitter, const PlanJob& job, std::int64_t ready) const {
    const auto& working = problem_.fitters[fitter].working;
    const std::size_t start = std::max(next_[fitter], next_hour(fitter, ready));
    const std::size_t last = start + static_cast<std::size_t>(job.length) - 1;
    if (last >= working.size()) return std::nullopt;
    return PlacedJob{fitter, working[start], working[last] + 1};
  }

  std::optional<PlacedJob> quickest(const PlanJob& job, std::int64_t ready,
                                    const std::optional<std::size_t>& wanted) const {
    if (wanted) return by(*wanted, job, ready);
    std::optional<PlacedJob> best;
    for (const std::size_t hand : job.hands) {
      const auto placed = by(hand, job, ready);
      if (placed && (!best || placed->end < best->end)) best = placed;
    }
    return best;
  }

  const PlanProblem& problem_;
  std::vector<std::vector<std::size_t>> next_from_;
  std::vector<std::size_t> next_;  // by fitter: their first half hour still free
  std::vector<std::int64_t> box_free_, there_;
  std::vector<char> placed_;
  Timetable table_;
};

// One change to an order, which can be taken back.
class Move {
 public:
  void make(const PlanProblem& problem, const std::vector<char>& late, JobOrder& order, std::mt19937& random) {
    const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
    const std::size_t jobs = order.jobs.size();
    const bool sooner = below(3) == 0;
    from_ = below(jobs);
    to_ = below(jobs);
    // One move in three brings a job forward whose box keeps a run waiting.
    for (int look = 0; sooner && look < 8 && !late[problem.jobs[order.jobs[from_]].box]; ++look)
      from_ = below(jobs);
    if (sooner) to_ = below(from_ + 1);
    job_ = order.jobs[from_];
    fitter_ = order.fitter[job_];
    const auto& hands = problem.jobs[job_].hands;
    kind_ = static_cast<Kind>(below(hands.size() > 1 ? 4 : 2));
    if (kind_ == Kind::hands || kind_ == Kind::place_and_hands) {
      const std::size_t chosen = below(hands.size() + 1);
      if (chosen == hands.size())
        order.fitter[job_].reset();
      else
        order.fitter[job_] = hands[chosen];
    }
    if (kind_ == Kind::swap) std::swap(order.jobs[from_], order.jobs[to_]);
    if (kind_ == Kind::place || kind_ == Kind::place_and_hands) shift(order.jobs, from_, to_);
  }

  void take_back(JobOrder& order) const {
    if (kind_ == Kind::swap) std::swap(order.jobs[from_], order.jobs[to_]);
    if (kind_ == Kind::place || kind_ == Kind::place_and_hands) shift(order.jobs, to_, from_);
    order.fitter[job_] = fitter_;
  }

 private:
  enum class Kind { swap, place, hands, place_and_hands };

  static void shift(std::vector<std::size_t>& jobs, std::size_t from, std::size_t to) {
    const auto at = [&](std::size_t i) { return jobs.begin() + static_cast<std::ptrdiff_t>(i); };
    if (from < to)
      std::rotate(at(from), at(from + 1), at(to + 1));
    else
      std::rotate(at(to), at(from), at(from + 1));
  }

  Kind kind_ = Kind::swap;
  std::size_t from_ = 0, to_ = 0, job_ = 0;
  std::optional<std::size_t> fitter_;
};

struct Merit {
  std::int64_t lateness = 0, ends = 0;
  auto operator<=>(const Merit&) const = default;
};

Merit merit_of(const Timetable& table) {
  return {table.lateness, sum_of_ends(table)};
}

// Now and then a step back is taken, less and less often: else the search sticks where it first cannot get on.
class Patience {
 public:
  Patience(double first, int steps) : now_(std::max(first, last)), shrink_(std::pow(last / now_, 1.0 / steps)) {}

  bool bears(const Merit& there, const Merit& here, std::mt19937& random) {
    now_ *= shrink_;
    if (there <= here) return true;
    const auto worse_by = static_cast<double>(there.lateness - here.lateness);
    const double share = (static_cast<double>(random()) + 1) / 4294967297.0;
    return worse_by > 0 && worse_by < -now_ * std::log(share);
  }

 private:
  static constexpr double last = 10;
  double now_, shrink_;
};

}  // namespace

std::optional<Timetable> dispatched(const PlanProblem& problem, const JobOrder& order) {
  Bench bench(problem);
  if (!bench.fill(order)) return std::nullopt;
  return bench.table();
}

std::int64_t sum_of_ends(const Timetable& table) {
  std::int64_t sum = 0;
  for (const PlacedJob& placed : table.jobs) sum += placed.end;
  return sum;
}

std::optional<Timetable> improved(const PlanProblem& problem, JobOrder order, int orders_tried) {
  Bench bench(problem);
  if (!bench.fill(order)) return std::nullopt;
  Timetable best = bench.table();
  if (problem.jobs.size() < 2) return best;
  Merit here = merit_of(best), best_merit = here;
  std::mt19937 random(20261126);
  std::vector<char> late;
  bench.note_late(late);
  Patience patience(static_cast<double>(here.lateness) / 50, orders_tried);
  for (int tried = 0; tried < orders_tried; ++tried) {
    Move move;
    move.make(problem, late, order, random);
    if (!bench.fill(order) || !patience.bears(merit_of(bench.table()), here, random)) {
      move.take_back(order);
      continue;
    }
    here = merit_of(bench.table());
    bench.note_late(late);
    if (here < best_merit) {
      best = bench.table();
      best_merit = here;
    }
  }
  return best;
}

}  // namespace boxfettle
