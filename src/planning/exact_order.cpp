#include "planning/exact_order.hpp"

#include <gecode/int.hh>
#include <gecode/minimodel.hh>
#include <gecode/search.hh>

#include <algorithm>
#include <memory>
#include <utility>
#include <vector>

#include "shop/work_calendar.hpp"

namespace boxfettle {
namespace {

using namespace Gecode;

// All fitters' working half hours laid end to end, one fitter after the other: a job's place on this axis says
// who does it and when, and no two jobs overlap on it.
struct Axis {
  std::vector<int> fitter, time;
  std::vector<int> first_of;  // by fitter, and one more: where its part begins

  explicit Axis(const PlanProblem& problem) {
    const std::int64_t far = far_enough(problem);
    for (std::size_t f = 0; f < problem.fitters.size(); ++f) {
      first_of.push_back(static_cast<int>(time.size()));
      for (const std::int64_t at : problem.fitters[f].working) {
        if (at >= far) break;
        fitter.push_back(static_cast<int>(f));
        time.push_back(static_cast<int>(at));
      }
    }
    first_of.push_back(static_cast<int>(time.size()));
  }

  int end(int place, int length) const { return time[static_cast<std::size_t>(place + length - 1)] + 1; }

 private:
  // One job after the other, each by the slowest who can do it, and a week: no best timetable goes beyond.
  static std::int64_t far_enough(const PlanProblem& problem) {
    std::int64_t over = 0;
    for (const PlanSupply& supply : problem.supplies) over = std::max(over, supply.arrives);
    for (const PlanJob& job : problem.jobs) over = std::max(over, job.earliest);
    for (const PlanJob& job : problem.jobs) {
      std::int64_t slowest = over;
      for (const std::size_t hand : job.hands) {
        const auto& working = problem.fitters[hand].working;
        const auto from = std::lower_bound(working.begin(), working.end(), over);
        if (working.end() - from >= job.length) slowest = std::max(slowest, *(from + job.length - 1) + 1);
      }
      over = slowest;
    }
    return over + 7 * 48;
  }
};

class Model : public IntMinimizeSpace {
 public:
  Model(const PlanProblem& problem, const Timetable& known) : axis_(std::make_shared<Axis>(problem)) {
    const int jobs = static_cast<int>(problem.jobs.size());
    place_ = IntVarArray(*this, jobs, 0, static_cast<int>(axis_->time.size()) - 1);
    fitter_ = IntVarArray(*this, jobs, 0, static_cast<int>(problem.fitters.size()) - 1);
    start_ = IntVarArray(*this, jobs, 0, Int::Limits::max);
    end_ = IntVarArray(*this, jobs, 0, Int::Limits::max);
    place_jobs(problem);
    keep_apart(problem, known);
    keep_order(problem);
    share_spares(problem);
    count_lateness(problem, known);
    decide(known);
  }
  Model(Model& other) : IntMinimizeSpace(other), axis_(other.axis_) {
    place_.update(*this, other.place_);
    fitter_.update(*this, other.fitter_);
    start_.update(*this, other.start_);
    end_.update(*this, other.end_);
    first_.update(*this, other.first_);
    early_.update(*this, other.early_);
    cost_.update(*this, other.cost_);
  }
  Space* copy() override { return new Model(*this); }
  IntVar cost() const override { return cost_; }

  Timetable told() const {
    Timetable table;
    for (int j = 0; j < place_.size(); ++j)
      table.jobs.push_back({static_cast<std::size_t>(fitter_[j].val()), start_[j].val(), end_[j].val()});
    table.lateness = cost_.val();
    return table;
  }

 private:
  static int length(const PlanProblem& problem, int job) {
    return static_cast<int>(problem.jobs[static_cast<std::size_t>(job)].length);
  }

  void place_jobs(const PlanProblem& problem) {
    IntArgs lengths;
    const IntArgs times(axis_->time), fitters(axis_->fitter);
    for (int j = 0; j < place_.size(); ++j) {
      const PlanJob& job = problem.jobs[static_cast<std::size_t>(j)];
      const int length = static_cast<int>(job.length);
      lengths << length;
      std::vector<int> places;
      std::vector<int> ends(axis_->time.size(), 0);
      for (const std::size_t hand : job.hands)
        for (int p = axis_->first_of[hand]; p + length <= axis_->first_of[hand + 1]; ++p) {
          if (axis_->time[static_cast<std::size_t>(p)] >= job.earliest) places.push_back(p);
          ends[static_cast<std::size_t>(p)] = axis_->end(p, length);
        }
      dom(*this, place_[j], IntSet(places.data(), static_cast<int>(places.size())));
      element(*this, times, place_[j], start_[j]);
      element(*this, fitters, place_[j], fitter_[j]);
      element(*this, IntArgs(ends), place_[j], end_[j]);
    }
    unary(*this, place_, lengths);
  }

  // One decision for each pair that could meet at a fitter or at a box: true is the order they have in the known
  // timetable. Pairs that come early in it are decided first.
  void keep_apart(const PlanProblem& problem, const Timetable& known) {
    std::vector<std::pair<std::int64_t, std::pair<int, int>>> pairs;
    for (int i = 0; i < place_.size(); ++i)
      for (int j = 0; j < place_.size(); ++j) {
        const PlacedJob &a = known.jobs[static_cast<std::size_t>(i)], &b = known.jobs[static_cast<std::size_t>(j)];
        if (i != j && std::pair(a.start, i) < std::pair(b.start, j)) pairs.push_back({a.start + b.start, {i, j}});
      }
    std::stable_sort(pairs.begin(), pairs.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    BoolVarArgs decisions;
    for (const auto& [when, pair] : pairs) {
      const auto [i, j] = pair;
      const BoolVar at_fitter(*this, 0, 1);
      rel(*this, at_fitter == (place_[i] + length(problem, i) <= place_[j]));
      rel(*this, (place_[j] + length(problem, j) <= place_[i]) == !at_fitter);
      decisions << at_fitter;
      if (problem.jobs[static_cast<std::size_t>(i)].box != problem.jobs[static_cast<std::size_t>(j)].box) continue;
      const BoolVar at_box(*this, 0, 1);
      rel(*this, at_box == (end_[i] <= start_[j]));
      rel(*this, (end_[j] <= start_[i]) == !at_box);
      decisions << at_box;
    }
    first_ = BoolVarArray(*this, decisions);
  }

  void keep_order(const PlanProblem& problem) {
    for (int j = 0; j < place_.size(); ++j) {
      const PlanJob& job = problem.jobs[static_cast<std::size_t>(j)];
      if (job.after) rel(*this, end_[static_cast<int>(*job.after)] <= start_[j]);
      if (!job.begun) continue;
      for (int k = 0; k < place_.size(); ++k)
        if (const PlanJob& other = problem.jobs[static_cast<std::size_t>(k)]; !other.begun) {
          rel(*this, (fitter_[k] == static_cast<int>(job.hands.front())) >>
                         (place_[j] + length(problem, j) <= place_[k]));
          if (other.box == job.box) rel(*this, end_[j] <= start_[k]);
        }
    }
  }

  void share_spares(const PlanProblem& problem) {
    BoolVarArgs decisions;
    for (std::size_t s = 0; s < problem.supplies.size(); ++s) {
      BoolVarArgs early;
      IntArgs counts;
      for (int j = 0; j < place_.size(); ++j)
        for (const PlanNeed& need : problem.jobs[static_cast<std::size_t>(j)].needs)
          if (need.supply == s) {
            early << expr(*this, start_[j] < static_cast<int>(problem.supplies[s].arrives));
            counts << static_cast<int>(need.count);
          }
      if (early.size() == 0) continue;
      linear(*this, counts, early, IRT_LQ, static_cast<int>(problem.supplies[s].there));
      decisions << early;
    }
    early_ = BoolVarArray(*this, decisions);
  }

  void count_lateness(const PlanProblem& problem, const Timetable& known) {
    IntArgs weights;
    IntVarArgs late;
    for (std::size_t b = 0; b < problem.boxes.size(); ++b) {
      IntVarArgs ends;
      for (int j = 0; j < place_.size(); ++j)
        if (problem.jobs[static_cast<std::size_t>(j)].box == b) ends << end_[j];
      const IntVar ready = expr(*this, max(ends));
      for (const PlanRun& run : problem.boxes[b].runs) {
        const int due = static_cast<int>(std::max<std::int64_t>(0, run.start));
        late << expr(*this, max(ready - due, 0));
        weights << static_cast<int>(run.weight);
      }
    }
    cost_ = IntVar(*this, static_cast<int>(known.at_least), static_cast<int>(known.lateness) - 1);
    linear(*this, weights, late, IRT_EQ, cost_);
  }

  // Once every order is decided, the soonest places left are a best timetable: later ones need no trying.
  void decide(const Timetable& known) {
    std::vector<int> hands;
    for (const PlacedJob& placed : known.jobs) hands.push_back(static_cast<int>(placed.fitter));
    branch(*this, fitter_, INT_VAR_SIZE_MIN(), INT_VAL([hands](const Space&, IntVar x, int i) {
             const int known_hand = hands[static_cast<std::size_t>(i)];
             return x.in(known_hand) ? known_hand : x.min();
           }));
    branch(*this, first_, BOOL_VAR_NONE(), BOOL_VAL_MAX());
    branch(*this, early_, BOOL_VAR_NONE(), BOOL_VAL_MAX());
    assign(*this, place_, INT_ASSIGN_MIN());
  }

  std::shared_ptr<const Axis> axis_;
  IntVarArray place_, fitter_, start_, end_;
  BoolVarArray first_, early_;
  IntVar cost_;
};

class Limit : public Search::Stop {
 public:
  Limit(std::uint64_t dead_ends, std::chrono::milliseconds at_most)
      : dead_ends_(dead_ends), until_(std::chrono::steady_clock::now() + at_most) {}
  bool stop(const Search::Statistics& so_far, const Search::Options&) override {
    return so_far.fail > dead_ends_ || std::chrono::steady_clock::now() > until_;
  }

 private:
  std::uint64_t dead_ends_;
  std::chrono::steady_clock::time_point until_;
};

// The library counts in 32 bits.
bool countable(const PlanProblem& problem) {
  std::int64_t weights = 0;
  for (const PlanBox& box : problem.boxes)
    for (const PlanRun& run : box.runs) weights += run.weight;
  return weights < Int::Limits::max / (farthest_planned.count() * 48);
}

}  // namespace

ExactSearch search_exactly(const PlanProblem& problem, const Timetable& known, std::uint64_t dead_ends,
                           std::chrono::milliseconds at_most) {
  ExactSearch search;
  if (!countable(problem)) return search;
  if (known.lateness <= known.at_least) {
    search.finished = true;
    return search;
  }
  Limit limit(dead_ends, at_most);
  Search::Options options;
  options.stop = &limit;
  options.threads = 1;
  auto model = std::make_unique<Model>(problem, known);
  BAB<Model> engine(model.get(), options);
  while (const std::unique_ptr<Model> found{engine.next()}) search.better = found->told();
  search.finished = !engine.stopped();
  return search;
}

}  // namespace boxfettle
