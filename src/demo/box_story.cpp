#include "demo/box_story.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <set>
#include <string_view>
#include <utility>

#include "demo/box_parts.hpp"
#include "demo/box_troubles.hpp"
#include "demo/core_weights.hpp"
#include "demo/days.hpp"
#include "demo/dice.hpp"
#include "demo/run_story.hpp"
#include "demo/shop_people.hpp"
#include "shop/tool_room_work.hpp"

namespace boxfettle::demo {
namespace {

using namespace std::chrono_literals;

constexpr std::array remarks{
    "First pieces good, no rags.",
    "Print a little soft on the last ten cores; gassing time looked at.",
    "Blow tube cleaned, was half blocked.",
    "Cores stick at the lower half; parting agent put on again.",
    "Ran quietly all shift.",
    "Fin at the parting on one corner, taken off by hand.",
    "Sand changed to the new delivery at noon.",
    "Core weight checked on five, all within limits.",
};

// Runs to come, in hours from now.
struct Ahead {
  std::string_view box;
  int hours;
  std::int64_t quantity;
  double importance;
  std::string_view station;
};

constexpr std::array runs_ahead{
    Ahead{"TM-0413", 6, 240, 1, "Core station 2"},    Ahead{"TM-0455", 9, 300, 3, "Core station 1"},
    Ahead{"TM-0419", 22, 350, 1, "Core station 2"},   Ahead{"TM-0403", 26, 80, 2, "Core station 1"},
    Ahead{"TM-0424", 31, 500, 2, "Core station 2"},   Ahead{"TM-0427", 46, 260, 3, "Core station 1"},
    Ahead{"TM-0405", 50, 200, 1, "Core station 2"},   Ahead{"TM-0394", 70, 320, 1, "Core station 1"},
    Ahead{"TM-0408", 74, 180, 0.5, "Core station 2"}, Ahead{"TM-0391", 95, 400, 1, "Core station 1"},
};

// A checkpoint's usual measured value; clean boxes creep up a little with age.
std::optional<double> usual_measure(const Checkpoint& point, const ShopBox& box, double age_years,
                                    Dice& dice) {
  if (point.evidence == Evidence::count) return point.id == "loose-pieces" ? box.loose_pieces : 0.0;
  if (point.evidence != Evidence::measure) return std::nullopt;
  const double worn = point.id == "dowels" ? 0.02 + 0.03 * age_years : 0.02 + 0.01 * age_years;
  return std::round(100 * std::abs(worn + 0.01 * dice.normal())) / 100;
}

std::uint64_t seed_of(std::string_view id) {
  std::uint64_t seed = 0;
  for (const char c : id) seed = 131 * seed + static_cast<unsigned char>(c);
  return seed;
}

class BoxTeller {
 public:
  BoxTeller(const ShopBox& box, const BoxRegistered& registration, const Catalogue& catalogue, UtcTime now)
      : box_(box), registration_(registration), catalogue_(catalogue), days_(now), dice_(seed_of(box.id)) {}

  Story told() {
    const bool is_new = box_.ending == Ending::new_box;
    registered(is_new ? days_.ago(3, 9.5)
                      : days_.ago(days_told - static_cast<int>(dice_.below(9)), 8 + dice_.uniform()));
    if (is_new) {
      tell(days_.ago(3, 9.7), people_.tooling,
           WriteNote{"Delivered by the pattern shop, waits for its first look."});
    } else {
      live_from(days_told - 10);
      end();
      counted_with_its_rack();
    }
    planned_ahead();
    put_in_order(story_);
    return std::move(story_);
  }

 private:
  double age_years(UtcTime at) const {
    return days_told / 365.0 - std::chrono::duration<double>(days_.now() - at).count() / (365 * 86400.0);
  }
  Person an_operator() { return people_.operators[dice_.below(people_.operators.size())]; }

  void tell(UtcTime at, const Person& who, decltype(Request::what) what) {
    story_.tell(at, who, box_.id, std::move(what));
  }
  void move(UtcTime at, const Person& who, Place::Kind kind, std::string_view text) {
    tell(at, who, MoveBox{{kind, std::string(text)}});
  }
  void back_home(UtcTime at) { move(at, an_operator(), Place::Kind::bay, box_.home_place); }

  void registered(UtcTime at) {
    tell(at, people_.tooling, RegisterBox{registration_});
    for (const ComponentFitted& component : components_of(box_))
      tell(at + 2min, people_.tooling, Tell{component});
    for (const PieceRegistered& piece : pieces_of(box_)) tell(at + 4min, people_.tooling, Tell{piece});
    FirstPiecesChosen measured;
    for (const MeasuredSeries& series : measured_series())
      if (series.box == box_.id) measured.to_measure.emplace_back(series.characteristic);
    if (!measured.to_measure.empty()) tell(at + 6min, people_.quality, Tell{measured});
  }

  CheckpointResult passed(const Checkpoint& point, UtcTime at) {
    return {point.id, true, usual_measure(point, box_, age_years(at), dice_), "", ""};
  }

  using Wanted = bool (*)(const Checkpoint&);
  static bool every(const Checkpoint&) { return true; }
  static bool before_a_run(const Checkpoint& point) {
    return point.consequence == Consequence::hold || point.consequence == Consequence::safety_hold ||
           point.id == "cavity" || point.id == "vents";
  }

  // Looks at the checkpoints wanted; what is wrong fails, the rest passes.
  void inspect(UtcTime at, const Person& who, Wanted wanted = every, const Trouble* wrong = nullptr) {
    InspectBox look;
    for (const Checkpoint& point : catalogue_.checkpoints) {
      if (wrong != nullptr && wrong->checkpoint == point.id)
        look.results.push_back({point.id, false, wrong->measured, "", std::string(wrong->found)});
      else if (wanted(point))
        look.results.push_back(passed(point, at));
    }
    tell(at, who, std::move(look));
  }
  void opening_look(UtcTime at, const Trouble* wrong = nullptr) {
    inspect(at, an_operator(), before_a_run, wrong);
  }
  void look_again(UtcTime at, const Trouble& trouble) {
    const Checkpoint* point = catalogue_.find(trouble.checkpoint);
    tell(at, people_.fitter, InspectBox{{passed(*point, at)}});
  }

  Consequence consequence(const Trouble& trouble) const {
    return catalogue_.find(trouble.checkpoint)->consequence;
  }

  // Jobs

  // In the tool-room's own words where it knows such work, so that the same is not proposed a second time.
  static std::string work_for(const Trouble& trouble) {
    for (const ToolRoomWork& work : shipped_tool_room().work)
      if (std::ranges::find(work.checkpoints, trouble.checkpoint) != work.checkpoints.end()) return work.what;
    return std::string(trouble.found);
  }

  std::string job_raised(UtcTime at, const Trouble& trouble) {
    JobRaised job;
    job.what = work_for(trouble);
    job.skill = trouble.skill;
    job.hours = trouble.hours;
    if (trouble.spares > 0) job.parts = {{spare_of(trouble), trouble.spares}};
    tell(at, people_.supervisor, Tell{job});
    return std::string(box_.id) + "/J" + std::to_string(++jobs_);
  }
  ComponentFitted component_of(const Trouble& trouble) const {
    for (const ComponentFitted& component : components_of(box_))
      if (component.component == trouble.component) return component;
    return {};
  }
  std::string spare_of(const Trouble& trouble) const { return component_of(trouble).spare; }

  void job_done(UtcTime at, const std::string& job, const Trouble& trouble) {
    tell(at - 3h, people_.fitter, Tell{JobStarted{job, people_.fitter.name}});
    tell(at, people_.fitter, Tell{JobDone{job, trouble.hours, std::string(trouble.mended)}});
    if (trouble.spares == 0) return;
    ComponentFitted renewed = component_of(trouble);
    renewed.why = "worn out";
    tell(at + 1min, people_.fitter, Tell{renewed});
  }

  // What this box cannot have does not go wrong with it.
  bool can_have(const Trouble& trouble) const {
    return trouble.component.empty() || !component_of(trouble).component.empty();
  }

  // Found before a run, mended within two days, proved and released.
  void mend(int day, const Trouble& trouble) {
    opening_look(days_.ago(day, 6.2), &trouble);
    const bool held = consequence(trouble) == Consequence::hold;
    if (held) tell(days_.ago(day, 6.6), people_.supervisor, HoldBox{std::string(trouble.found), false, ""});
    move(days_.ago(day, 7.1), an_operator(), Place::Kind::tool_room, "Tool-room, bench 2");
    const std::string job = job_raised(days_.ago(day, 7.3), trouble);
    const int after = std::max(day - 1 - static_cast<int>(dice_.below(2)), 1);
    job_done(days_.ago(after, 13), job, trouble);
    look_again(days_.ago(after, 13.5), trouble);
    if (held || consequence(trouble) == Consequence::safety_hold)
      tell(days_.ago(after, 14.2), people_.supervisor, ReleaseBox{"Mended and inspected again."});
    back_home(days_.ago(after, 15));
  }

  // Runs

  void run(int day, const std::string& station, bool care_told) {
    opening_look(days_.ago(day, 6.1));
    tell_run(story_, box_, {days_.ago(day, 6.5), station, care_told}, dice_);
    if (dice_.uniform() < 0.25)
      tell(days_.ago(day, 17 + dice_.uniform()), an_operator(),
           WriteNote{remarks[dice_.below(remarks.size())]});
    back_home(days_.ago(day, 21.7));
  }

  // Runs every few weeks, a full inspection about once a month, trouble now and then; the last weeks are for
  // `end` to tell.
  void live_from(int day) {
    int inspected = day + 100;
    constexpr int last_day = 50;
    while (day > last_day) {
      if (inspected - day > 28) {
        inspect(days_.ago(day, 14 + dice_.uniform()), dice_.uniform() < 0.5 ? people_.fitter : an_operator());
        inspected = day;
      }
      day -= 2;
      const Trouble& trouble = ordinary_troubles()[dice_.below(ordinary_troubles().size())];
      if (dice_.uniform() < 0.07 && can_have(trouble)) {
        mend(day, trouble);
        day -= 4;
      }
      run(day, dice_.uniform() < 0.6 ? "Core station 1" : "Core station 2", false);
      day -= 11 + static_cast<int>(dice_.below(32));
    }
  }

  // How it ends

  // Each box its own day and station within the last weeks.
  int place_in_turn() const {
    const auto boxes = shop_boxes();
    return static_cast<int>(
        std::find_if(boxes.begin(), boxes.end(), [&](const ShopBox& box) { return box.id == box_.id; }) -
        boxes.begin());
  }
  int lately() const { return 4 + place_in_turn() % 20; }
  std::string station_in_turn() const { return place_in_turn() < 20 ? "Core station 1" : "Core station 2"; }

  void looked_over(int day) {
    inspect(days_.ago(day, 9.2 + dice_.uniform()), dice_.uniform() < 0.5 ? people_.fitter : an_operator());
  }
  // Failed today or lately, and waits for the tool-room.
  void stands_with(int day, const Trouble& trouble) {
    inspect(days_.ago(day, 9.3), people_.fitter, every, &trouble);
    job_raised(days_.ago(day, 9.6), trouble);
  }
  void held(int day, std::string_view why) {
    tell(days_.ago(day, 9.8), people_.quality, HoldBox{std::string(why), false, ""});
    move(days_.ago(day, 10.5), people_.fitter, Place::Kind::tool_room, "Tool-room, bench 1");
  }

  void end() {
    switch (box_.ending) {
      case Ending::overdue:
        return inspect(days_.ago(43, 14.2), an_operator());
      case Ending::running:
        inspect(days_.ago(6, 14.3), people_.fitter);
        opening_look(days_.now() - 3h);
        return tell_run_in_progress(story_, box_, days_.now(), dice_);
      case Ending::springs_open:
        return stands_with(9, trouble_at_the_end(box_.ending));
      case Ending::wrong_piece:
        stands_with(2, trouble_at_the_end(box_.ending));
        return held(2, trouble_at_the_end(box_.ending).found);
      case Ending::loose_handle:
        stands_with(1, trouble_at_the_end(box_.ending));
        return move(days_.ago(1, 10.1), people_.fitter, Place::Kind::tool_room,
                    "Tool-room, floor, not to be lifted");
      case Ending::torn_vents:
      case Ending::baked_on:
        return stands_with(lately(), trouble_at_the_end(box_.ending));
      case Ending::at_the_tool_room:
        return waits_for_bushes();
      case Ending::conceded:
        return runs_by_concession();
      case Ending::suspects:
        return leaves_suspects();
      case Ending::away:
        looked_over(lately());
        return move(days_.ago(lately() - 1, 15.4), people_.tooling, Place::Kind::outside_shop,
                    "At the pattern shop for a print insert");
      case Ending::missing:
      case Ending::strayed:
        return looked_over(lately());
      case Ending::fit:
        looked_over(lately());
        return run(lately() - 1, station_in_turn(), true);
      case Ending::new_box:
        return;
    }
  }

  void waits_for_bushes() {
    const Trouble& worn = trouble_at_the_end(box_.ending);
    stands_with(4, worn);
    held(4, worn.found);
    tell(days_.ago(3, 10), people_.fitter,
         Tell{JobStarted{std::string(box_.id) + "/J" + std::to_string(jobs_), people_.fitter.name}});
    tell(days_.ago(3, 11), people_.fitter, WriteNote{"New bushes ordered from store, due this week."});
  }

  // Closes not quite, and runs in spite of it: 260 cores or so of the 600 conceded are made.
  void runs_by_concession() {
    const Trouble& open = trouble_at_the_end(box_.ending);
    looked_over(lately());
    opening_look(days_.ago(1, 5.5), &open);
    job_raised(days_.ago(1, 5.7), open);
    tell(days_.ago(1, 6.1), people_.quality,
         Tell{Conceded{"The fin is trimmed by hand at the moulding line; 0.25 mm agreed with it.",
                       {},
                       days_.now() + 5 * 24h,
                       600}});
    tell_run(story_, box_, {days_.ago(1, 6.5), "Core station 2"}, dice_);
    back_home(days_.ago(1, 21.7));
  }

  std::int64_t shots_since(UtcTime from) const {
    std::int64_t shots = 0;
    for (const ShotCount& count : story_.shots)
      if (count.at >= from) shots += count.shots;
    return shots;
  }

  // A seal was good three weeks ago and is found cut: two runs in between, one of them sorted by now.
  void leaves_suspects() {
    const Trouble& cut = trouble_at_the_end(box_.ending);
    looked_over(21);
    run(12, "Core station 2", true);
    const std::int64_t first_lot = shots_since(days_.ago(12, 0));
    run(8, "Core station 1", true);
    inspect(days_.ago(5, 9.3), people_.fitter, every, &cut);
    const std::string job = job_raised(days_.ago(5, 9.6), cut);
    SuspectsListed list;
    list.property = cut.checkpoint;
    list.why = "Seal found cut: cores may be soft inside.";
    tell(days_.ago(5, 10.2), people_.quality, Tell{list});
    job_done(days_.ago(4, 14), job, cut);
    look_again(days_.ago(4, 14.4), cut);
    tell(days_.ago(3, 13.1), people_.quality,
         Tell{LotDealtWith{std::string(box_.id) + "/T1", 0, first_lot - 4, 4,
                           "Ten broken open, the rest weighed and rung by hand."}});
  }

  // Yesterday's count of Rack D: everything in its bay but one box that is gone and one that belongs
  // elsewhere.
  void counted_with_its_rack() {
    const UtcTime at = days_.ago(1, 22.5);
    const auto found = [&](std::string piece, StockTaken::Outcome outcome, std::string_view where) {
      tell(at, people_.supervisor,
           Tell{StockTaken{"Rack D", std::move(piece), outcome, {Place::Kind::bay, std::string(where)}}});
    };
    if (box_.ending == Ending::strayed) return found("", StockTaken::Outcome::strayed, "Rack D, bay 3");
    if (!box_.home_place.starts_with("Rack D") || box_.ending == Ending::away) return;
    const bool gone = box_.ending == Ending::missing;
    found("", gone ? StockTaken::Outcome::missing : StockTaken::Outcome::found, box_.home_place);
    for (const PieceRegistered& piece : pieces_of(box_))
      found(piece.piece, StockTaken::Outcome::found, piece.home);
  }

  void planned_ahead() {
    for (const Ahead& ahead : runs_ahead) {
      if (ahead.box != box_.id) continue;
      RunPlanned plan;
      plan.start = days_.now() + std::chrono::hours(ahead.hours);
      plan.quantity = ahead.quantity;
      plan.importance = ahead.importance;
      plan.station = ahead.station;
      plan.order = "W-" + std::to_string(7400 + ahead.hours);
      tell(days_.now() - 170min, people_.supervisor, Tell{plan});
    }
  }

  const ShopBox& box_;
  const BoxRegistered& registration_;
  const Catalogue& catalogue_;
  Days days_;
  Dice dice_;
  ShopPeople people_;
  Story story_;
  int jobs_ = 0;  // raised so far
};

}  // namespace

Story box_story(const ShopBox& box, const BoxRegistered& registration, const Catalogue& catalogue,
                UtcTime now) {
  return BoxTeller(box, registration, catalogue, now).told();
}

}  // namespace boxfettle::demo
