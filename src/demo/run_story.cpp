#include "demo/run_story.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "demo/box_parts.hpp"
#include "demo/core_weights.hpp"
#include "demo/shop_people.hpp"

namespace boxfettle::demo {
namespace {

using namespace std::chrono_literals;

constexpr auto run_lasts = 15h;

struct SeenOnCores {
  CoreDefect defect;
  double x, y;
  std::string_view remark;
  std::string_view fault;  // what it turned out to come from
};

constexpr std::array now_and_then{
    SeenOnCores{CoreDefect::fin, 0.62, 0.34, "at the parting beside the print", "parting-dirty"},
    SeenOnCores{CoreDefect::mismatch, 0.55, 0.18, "step of half a millimetre all along one side",
                "dowels-worn"},
    SeenOnCores{CoreDefect::soft_spot, 0.30, 0.71, "far end, crumbles under the thumb", "vents-plugged"},
    SeenOnCores{CoreDefect::sticking, 0.48, 0.55, "hangs in the lower half", "cavity-built-up"},
    SeenOnCores{CoreDefect::not_filled, 0.83, 0.22, "thin rib not full", "vents-plugged"},
    SeenOnCores{CoreDefect::broken, 0.51, 0.40, "broke when lifted out", "agent-lacking"},
    SeenOnCores{CoreDefect::gas_starved, 0.18, 0.63, "core still soft inside", "seal-leaking"},
};

std::string_view sand_for(Process process) {
  switch (process) {
    case Process::shell:
      return "SHELL-70";
    case Process::hot_box:
      return "HOT-60";
    case Process::no_bake:
      return "NB-50";
    case Process::co2:
      return "CO2-55";
    default:
      return "COLD-60";
  }
}

// "20261104": part of what is written on labels and orders.
std::string day_digits(UtcTime at) {
  std::string digits = at.date();
  std::erase(digits, '-');
  return digits;
}

class RunTeller {
 public:
  RunTeller(Story& story, const ShopBox& box, std::string station, Dice& dice)
      : story_(story), box_(box), station_(std::move(station)), dice_(dice), by_(an_operator()) {}

  void opened(UtcTime at, std::int64_t planned) {
    RunOpened run;
    run.station = station_;
    run.order = "W-" + day_digits(at).substr(2) + "-" + std::string(box_.id.substr(3));
    run.batch = "B" + day_digits(at) + station_.back();
    run.sand = sand_for(box_.process);
    run.planned = planned;
    run.pieces = piece_labels(box_);
    tell(at, std::move(run));
  }

  void first_pieces(UtcTime at, bool first_is_bad) {
    if (first_is_bad)
      tell(at, FirstPieceLooked{"", 0, false, measured(), "fin at the print, clamp set again"});
    for (int i = 0; i < 5; ++i) {
      at = at + 2min;
      tell(at, FirstPieceLooked{"", 0, true, measured(), ""});
    }
  }

  void shot(UtcTime at, std::int64_t cores) {
    story_.shots.push_back({at, std::string(box_.id), station_, cores});
    made_ += cores;
  }

  void care(UtcTime at, const std::string& what, std::int64_t shots) {
    tell(at, CareDone{"", what, shots, ""});
  }

  void next_shift(UtcTime at, std::int64_t shots) {
    const Person next = an_operator();
    tell(at, HandedOver{"", next.name, shots, "Nothing open."});
    by_ = next;
  }

  void seen(UtcTime at, const SeenOnCores& bad, std::int64_t cores) {
    tell(at, DefectSeen{bad.defect, cores, "", bad.x, bad.y, std::string(bad.remark)});
  }

  void closed(UtcTime at, std::int64_t bad) {
    RunClosed close;
    close.made = made_;
    close.bad = bad;
    close.pieces = piece_labels(box_);
    close.went_to = dice_.uniform() < 0.6 ? "Moulding line 1" : "Moulding line 2";
    tell(at, std::move(close));
  }

  template <class Body>
  void tell(UtcTime at, Body body) {
    story_.tell(at, by_, box_.id, Tell{std::move(body)});
  }

 private:
  Person an_operator() {
    const ShopPeople people;
    return people.operators[dice_.below(people.operators.size())];
  }

  // What this box's first pieces are measured for, as it usually is.
  std::vector<FirstPieceLooked::Measured> measured() {
    std::vector<FirstPieceLooked::Measured> values;
    for (const MeasuredSeries& series : measured_series()) {
      if (series.box != box_.id) continue;
      const double value = series.usual + series.scatter * dice_.normal();
      values.push_back({std::string(series.characteristic),
                        std::round(value * series.steps_per_unit) / series.steps_per_unit,
                        std::string(series.unit), true});
    }
    return values;
  }

  Story& story_;
  const ShopBox& box_;
  std::string station_;
  Dice& dice_;
  Person by_;
  std::int64_t made_ = 0;
};

// Vents within the hour, agent within four and the vents again after it; the shots are the counter's to tell.
void care_of_the_day(RunTeller& teller, UtcTime from) {
  int times = 0;
  for (auto after = 55min; after < run_lasts; after += 56min) {
    const bool agent = ++times % 4 == 0;
    teller.care(from + after, agent ? "agent" : "vents", 0);
    if (agent) teller.care(from + after + 4min, "vents", 0);
  }
}

}  // namespace

void tell_run(Story& story, const ShopBox& box, const RunOfOneDay& run, Dice& dice) {
  RunTeller teller(story, box, run.station, dice);
  std::array<std::int64_t, 3> lots{};
  for (std::int64_t& lot : lots) lot = 60 + static_cast<std::int64_t>(dice.below(120));
  const std::int64_t all = lots[0] + lots[1] + lots[2];
  teller.opened(run.from, (all + 49) / 50 * 50);
  teller.first_pieces(run.from + 6min, dice.uniform() < 0.1);
  if (run.care_told) care_of_the_day(teller, run.from);
  teller.shot(run.from + 30min, lots[0]);
  teller.shot(run.from + 4h, lots[1]);
  teller.next_shift(run.from + 7h + 30min, lots[0] + lots[1]);
  teller.shot(run.from + 8h + 30min, lots[2]);
  std::int64_t bad = static_cast<std::int64_t>(dice.below(5));
  if (dice.uniform() < 0.2) {
    const SeenOnCores& found = now_and_then[dice.below(now_and_then.size())];
    const auto cores = 1 + static_cast<std::int64_t>(dice.below(6));
    teller.seen(run.from + 9h, found, cores);
    bad += cores;
    const CauseConfirmed cause{std::string(found.fault), {std::string(name(found.defect))}, {}, ""};
    story.tell(run.from + 16h, ShopPeople{}.quality, box.id, Tell{cause});
  }
  teller.closed(run.from + run_lasts, bad);
}

void tell_run_in_progress(Story& story, const ShopBox& box, UtcTime now, Dice& dice) {
  RunTeller teller(story, box, "Core station 1", dice);
  const UtcTime from = now - 150min;
  teller.opened(from, 400);
  teller.first_pieces(from + 5min, true);
  std::int64_t made = 0;
  for (auto ago = 130min; ago > 0min; ago -= 10min) {
    const auto cores = 8 + static_cast<std::int64_t>(dice.below(2));
    teller.shot(now - ago, cores);
    made += cores;
    if (ago == 80min) teller.care(now - ago, "vents", made);
    if (ago == 50min) teller.next_shift(now - ago, made);
  }
  teller.seen(now - 35min, now_and_then.front(), 2);
  teller.tell(now - 34min, DefectNotSeen{CoreDefect::mismatch});
  teller.seen(now - 12min, now_and_then.front(), 1);
}

}  // namespace boxfettle::demo
