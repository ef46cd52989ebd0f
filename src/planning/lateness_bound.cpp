#include "planning/lateness_bound.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>

namespace boxfettle {
namespace {

constexpr double unreachable = std::numeric_limits<double>::infinity();
constexpr std::size_t most_jobs_tried_in_every_order = 3;

// Hours after the horizon are free of charge and without number: a job that begins or ends there counts as done
// one half hour after it. That only lowers what a box pays, so the bound stays one.
struct Bought {
  std::size_t job = 0, fitter = 0;
  std::size_t from = 0, to = 0;  // places in the fitter's priced hours; equal when all lie after the horizon
  std::int64_t start = 0;
};

class Market {
 public:
  Market(const PlanProblem& problem, std::int64_t horizon) : horizon_(horizon) {
    for (const PlanFitter& fitter : problem.fitters) {
      const auto end = std::lower_bound(fitter.working.begin(), fitter.working.end(), horizon);
      hours_.emplace_back(fitter.working.begin(), end);
      prices_.emplace_back(hours_.back().size(), 0.0);
      sums_.emplace_back(hours_.back().size() + 1, 0.0);
    }
  }

  std::int64_t late() const { return horizon_ + 1; }
  const std::vector<std::int64_t>& hours(std::size_t fitter) const { return hours_[fitter]; }
  double price(std::size_t fitter, std::size_t from, std::size_t to) const {
    return sums_[fitter][to] - sums_[fitter][from];
  }

  double price_of_all() const {
    double sum = 0;
    for (const auto& sums : sums_) sum += sums.back();
    return sum;
  }

  // One step along the hours bought too often, down those nobody bought.
  void adjust(const std::vector<Bought>& bought, double aim) {
    std::vector<std::vector<double>> excess;
    for (const auto& prices : prices_) excess.emplace_back(prices.size(), -1.0);
    for (const Bought& one : bought)
      for (std::size_t i = one.from; i < one.to; ++i) excess[one.fitter][i] += 1;
    double length = 0;
    for (std::size_t f = 0; f < prices_.size(); ++f)
      for (std::size_t i = 0; i < prices_[f].size(); ++i)
        if (prices_[f][i] > 0 || excess[f][i] > 0) length += excess[f][i] * excess[f][i];
    if (length == 0) return;
    for (std::size_t f = 0; f < prices_.size(); ++f)
      for (std::size_t i = 0; i < prices_[f].size(); ++i) {
        prices_[f][i] = std::max(0.0, prices_[f][i] + aim / length * excess[f][i]);
        sums_[f][i + 1] = sums_[f][i] + prices_[f][i];
      }
  }

 private:
  std::int64_t horizon_;
  std::vector<std::vector<std::int64_t>> hours_;
  std::vector<std::vector<double>> prices_, sums_;
};

// What a box pays to have some of its jobs done by each time, one after the other in a given order.
class Purchase {
 public:
  Purchase(const PlanProblem& problem, const Market& market) : problem_(problem), market_(market) {}

  struct Cheapest {
    double cost = unreachable;
    std::vector<Bought> bought;
  };

  Cheapest of(const PlanBox& box, const std::vector<std::size_t>& jobs) {
    const auto times = static_cast<std::size_t>(market_.late()) + 1;
    std::vector<std::vector<Stage>> stages;
    for (const std::size_t job : jobs) {
      stages.emplace_back(times);
      fill(stages.back(), job, stages.size() > 1 ? &stages[stages.size() - 2] : nullptr);
    }
    Cheapest cheapest;
    std::size_t end = 0;
    for (std::size_t t = 0; t < times; ++t) {
      const double cost = stages.back()[t].exactly + static_cast<double>(lateness(box, static_cast<std::int64_t>(t)));
      if (cost < cheapest.cost) {
        cheapest.cost = cost;
        end = t;
      }
    }
    for (std::size_t k = jobs.size(); k-- > 0;) {
      cheapest.bought.push_back(stages[k][end].how);
      if (k > 0) end = stages[k - 1][static_cast<std::size_t>(cheapest.bought.back().start)].best_end;
    }
    return cheapest;
  }

 private:
  struct Stage {
    double exactly = unreachable;  // the last job so far ends just then
    double by = unreachable;       // ends by then
    std::size_t best_end = 0;      // the end that `by` comes from
    Bought how;
  };

  void fill(std::vector<Stage>& stage, std::size_t index, const std::vector<Stage>* before) {
    const PlanJob& job = problem_.jobs[index];
    for (const std::size_t fitter : job.hands) buy_from(stage, index, fitter, before);
    const std::int64_t late = market_.late();
    offer(stage, late, before == nullptr ? 0 : (*before)[static_cast<std::size_t>(late)].by,
          {index, job.hands.front(), 0, 0, late});
    double by = unreachable;
    std::size_t best_end = 0;
    for (std::size_t t = 0; t < stage.size(); ++t) {
      if (stage[t].exactly < by) {
        by = stage[t].exactly;
        best_end = t;
      }
      stage[t].by = by;
      stage[t].best_end = best_end;
    }
  }

  void buy_from(std::vector<Stage>& stage, std::size_t index, std::size_t fitter, const std::vector<Stage>* before) {
    const PlanJob& job = problem_.jobs[index];
    const auto& hours = market_.hours(fitter);
    const auto first = std::lower_bound(hours.begin(), hours.end(), job.earliest) - hours.begin();
    for (auto from = static_cast<std::size_t>(first); from < hours.size(); ++from) {
      const std::size_t to = std::min(hours.size(), from + static_cast<std::size_t>(job.length));
      const bool in_time = to - from == static_cast<std::size_t>(job.length);
      const double paid = before == nullptr ? 0 : (*before)[static_cast<std::size_t>(hours[from])].by;
      offer(stage, in_time ? hours[to - 1] + 1 : market_.late(), paid + market_.price(fitter, from, to),
            {index, fitter, from, to, hours[from]});
    }
  }

  static void offer(std::vector<Stage>& stage, std::int64_t end, double cost, const Bought& how) {
    Stage& at = stage[static_cast<std::size_t>(end)];
    if (cost < at.exactly) {
      at.exactly = cost;
      at.how = how;
    }
  }

  const PlanProblem& problem_;
  const Market& market_;
};

bool keeps_order(const PlanProblem& problem, const std::vector<std::size_t>& jobs) {
  for (std::size_t i = 0; i < jobs.size(); ++i)
    for (std::size_t k = i + 1; k < jobs.size(); ++k)
      if (problem.jobs[jobs[i]].after == jobs[k]) return false;
  return true;
}

// The jobs of each box; of many only the longest, for leaving work out can only make a box pay less.
std::vector<std::vector<std::size_t>> jobs_by_box(const PlanProblem& problem) {
  std::vector<std::vector<std::size_t>> jobs(problem.boxes.size());
  for (std::size_t i = 0; i < problem.jobs.size(); ++i) jobs[problem.jobs[i].box].push_back(i);
  for (auto& of_box : jobs) {
    std::stable_sort(of_box.begin(), of_box.end(), [&](std::size_t a, std::size_t b) {
      return problem.jobs[a].length > problem.jobs[b].length;
    });
    if (of_box.size() > most_jobs_tried_in_every_order) of_box.resize(most_jobs_tried_in_every_order);
    std::sort(of_box.begin(), of_box.end());
  }
  return jobs;
}

Purchase::Cheapest cheapest_of_all_orders(const PlanProblem& problem, const Market& market, const PlanBox& box,
                                          std::vector<std::size_t> jobs) {
  Purchase::Cheapest cheapest;
  do {
    if (!keeps_order(problem, jobs)) continue;
    Purchase::Cheapest other = Purchase(problem, market).of(box, jobs);
    if (other.cost < cheapest.cost) cheapest = std::move(other);
  } while (std::next_permutation(jobs.begin(), jobs.end()));
  return cheapest;
}

struct Round {
  double bound = 0;
  std::vector<Bought> bought;
};

Round buy_all(const PlanProblem& problem, const Market& market, const std::vector<std::vector<std::size_t>>& jobs) {
  Round round{-market.price_of_all(), {}};
  for (std::size_t i = 0; i < jobs.size(); ++i) {
    const auto cheapest = cheapest_of_all_orders(problem, market, problem.boxes[i], jobs[i]);
    round.bound += cheapest.cost;
    round.bought.insert(round.bought.end(), cheapest.bought.begin(), cheapest.bought.end());
  }
  return round;
}

// Every lateness is a whole multiple of what all weights have in common.
std::int64_t rounded_up(const PlanProblem& problem, double bound) {
  std::int64_t common = 0;
  for (const PlanBox& box : problem.boxes)
    for (const PlanRun& run : box.runs) common = std::gcd(common, run.weight);
  if (common == 0 || bound <= 0) return 0;
  const double steps = bound / static_cast<double>(common);
  return common * static_cast<std::int64_t>(std::ceil(steps - 1e-7 * (1 + steps)));
}

std::vector<std::size_t> by_start(const PlanProblem& problem, std::vector<Bought> bought) {
  std::stable_sort(bought.begin(), bought.end(),
                   [](const Bought& a, const Bought& b) { return a.start < b.start; });
  std::vector<std::size_t> order;
  std::vector<bool> listed(problem.jobs.size(), false);
  for (const Bought& one : bought) {
    order.push_back(one.job);
    listed[one.job] = true;
  }
  for (std::size_t i = 0; i < listed.size(); ++i)
    if (!listed[i]) order.push_back(i);
  return order;
}

std::int64_t end_of(const Timetable& table) {
  std::int64_t end = 0;
  for (const PlacedJob& placed : table.jobs) end = std::max(end, placed.end);
  return end;
}

}  // namespace

LatenessBound lateness_bound(const PlanProblem& problem, const Timetable& known, int rounds) {
  Market market(problem, end_of(known));
  const auto jobs = jobs_by_box(problem);
  Round best{-unreachable, {}};
  double boldness = 1;
  int since_better = 0;
  for (int i = 0; i < rounds; ++i) {
    Round round = buy_all(problem, market, jobs);
    const double missing = static_cast<double>(known.lateness) - round.bound;
    const std::vector<Bought> bought = round.bought;
    since_better = round.bound > best.bound ? 0 : since_better + 1;
    if (round.bound > best.bound) best = std::move(round);
    if (rounded_up(problem, best.bound) >= known.lateness) break;
    if (since_better >= 8) {
      boldness /= 2;
      since_better = 0;
    }
    market.adjust(bought, boldness * missing);
  }
  return {std::min(known.lateness, rounded_up(problem, best.bound)), by_start(problem, best.bought)};
}

}  // namespace boxfettle
