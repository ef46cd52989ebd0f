#include "demo/box_story.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string_view>
#include <utility>

#include "demo/dice.hpp"
#include "demo/shop_people.hpp"

namespace boxfettle::demo {
namespace {

using namespace std::chrono_literals;

constexpr int days_told = 730;

// What can be found wrong with a box, and how it is put right.
struct Trouble {
  std::string_view checkpoint;
  std::optional<double> measured;
  std::string_view found;
  std::string_view mended;
};

constexpr Trouble worn_bushes{"dowels", 0.24, "left bush bell-mouthed", "Bush renewed, shift 0.03 mm now."};
constexpr Trouble handle_loose{"handles",
                               {},
                               "left handle of the upper half turns on its stud, thread stripped",
                               "Insert fitted in the stripped thread, handle screwed down with a new stud."};
constexpr Trouble vents_torn{"vents", 3.0, "three slotted vents torn at the far end",
                             "Three vents renewed, set flush."};
constexpr Trouble binder_baked_on{
    "cavity", {}, "binder baked on round the print, comes off only in part", "Soaked and brushed clean."};
constexpr Trouble piece_not_seated{"loose-pieces", 2.0,
                                   "the drain boss former rocks in its seat and stands 1 mm proud",
                                   "Seat cleaned and former re-bedded."};

constexpr Trouble open_without_clamps{"closure-free", 0.24,
                                      "front corner stands open by its own weight, closes when clamped",
                                      "Front corner scraped in."};

constexpr std::array ordinary_troubles{
    worn_bushes,
    vents_torn,
    binder_baked_on,
    Trouble{
        "parting-face", {}, "dent beside the print, about 0.3 mm high", "Dent dressed flush with a stone."},
    Trouble{"closure-free", 0.30, "sand stuck under the rear corner",
            "Corner cleaned, leaf of 0.05 mm no longer goes in."},
    Trouble{"seals", {}, "seal cut at the gassing plate", "Seal renewed."},
    Trouble{"vents", 2.0, "two vents plugged with fines", "Vents cleaned."},
    Trouble{"clamps", {}, "toggle at the rear does not snap over", "Toggle link renewed and set."},
    handle_loose,
};

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

// A checkpoint's usual measured value; clean boxes creep up a little with age.
std::optional<double> usual_measure(const Checkpoint& point, const ShopBox& box, double age_years,
                                    Dice& dice) {
  if (point.evidence == Evidence::count) return point.id == "loose-pieces" ? box.loose_pieces : 0.0;
  if (point.evidence != Evidence::measure) return std::nullopt;
  const double worn = point.id == "dowels" ? 0.02 + 0.03 * age_years : 0.02 + 0.01 * age_years;
  return std::round(100 * std::abs(worn + 0.01 * dice.normal())) / 100;
}

class Story {
 public:
  Story(const ShopBox& box, const BoxRegistered& registration, const Catalogue& catalogue, UtcTime now)
      : box_(box), registration_(registration), catalogue_(catalogue), now_(now), dice_(seed_of(box.id)) {}

  BoxStory told() {
    if (box_.ending == Ending::new_box) {
      tell(days_ago(3, 9.5), people_.tooling, RegisterBox{registration_});
      tell(days_ago(3, 9.7), people_.tooling,
           WriteNote{"Delivered by the pattern shop, waits for its first look."});
      return std::move(story_);
    }
    tell(days_ago(days_told - static_cast<int>(dice_.below(9)), 8 + dice_.uniform()), people_.tooling,
         RegisterBox{registration_});
    live_from(days_told - 10);
    end();
    std::stable_sort(story_.tellings.begin(), story_.tellings.end(),
                     [](const Telling& a, const Telling& b) { return a.at < b.at; });
    return std::move(story_);
  }

 private:
  static std::uint64_t seed_of(std::string_view id) {
    std::uint64_t seed = 0;
    for (const char c : id) seed = 131 * seed + static_cast<unsigned char>(c);
    return seed;
  }

  UtcTime days_ago(int days, double hour) const {
    const auto midnight =
        std::chrono::floor<std::chrono::days>(std::chrono::milliseconds(now_.ms_since_epoch));
    const auto within_day = std::chrono::milliseconds(std::llround(hour * 3600e3));
    return UtcTime{std::chrono::milliseconds(midnight).count()} - std::chrono::days(days) + within_day;
  }
  double age_years(UtcTime at) const {
    return days_told / 365.0 - std::chrono::duration<double>(now_ - at).count() / (365 * 86400.0);
  }
  Person an_operator() { return people_.operators[dice_.below(people_.operators.size())]; }

  void tell(UtcTime at, const Person& who, decltype(Request::what) what) {
    story_.tellings.push_back({at, who, std::string(box_.id), std::move(what)});
  }
  void move(UtcTime at, const Person& who, Place::Kind kind, std::string_view text) {
    tell(at, who, MoveBox{{kind, std::string(text)}});
  }
  void back_home(UtcTime at) { move(at, an_operator(), Place::Kind::bay, box_.home_place); }

  CheckpointResult passed(const Checkpoint& point, UtcTime at) {
    return {point.id, true, usual_measure(point, box_, age_years(at), dice_), "", ""};
  }

  // Looks at the checkpoints named, or at all; what is wrong fails, the rest passes.
  void inspect(UtcTime at, const Person& who, std::span<const std::string_view> only = {},
               const Trouble* wrong = nullptr) {
    InspectBox look;
    for (const Checkpoint& point : catalogue_.checkpoints) {
      const bool failed = wrong != nullptr && wrong->checkpoint == point.id;
      if (!only.empty() && !failed && std::find(only.begin(), only.end(), point.id) == only.end()) continue;
      CheckpointResult result = passed(point, at);
      if (failed) result = {point.id, false, wrong->measured, "", std::string(wrong->found)};
      look.results.push_back(std::move(result));
    }
    tell(at, who, std::move(look));
  }

  void short_look(UtcTime at, const Trouble* wrong = nullptr) {
    static constexpr std::array<std::string_view, 4> before_a_run{"identity", "cavity", "handles", "vents"};
    inspect(at, an_operator(), before_a_run, wrong);
  }

  bool is_safety(const Trouble& trouble) const { return consequence(trouble) == Consequence::safety_hold; }
  Consequence consequence(const Trouble& trouble) const {
    const Checkpoint* point = catalogue_.find(trouble.checkpoint);
    return point != nullptr ? point->consequence : Consequence::note;
  }

  // Found at the short look, mended within two days, proved and released.
  void mend(int day, const Trouble& trouble) {
    if (catalogue_.find(trouble.checkpoint) == nullptr) return;
    short_look(days_ago(day, 6.2), &trouble);
    const bool held = consequence(trouble) == Consequence::hold;
    if (held) tell(days_ago(day, 6.6), people_.supervisor, HoldBox{std::string(trouble.found), false, ""});
    move(days_ago(day, 7.1), an_operator(), Place::Kind::tool_room, "Tool-room, bench 2");
    const int after = std::max(day - 1 - static_cast<int>(dice_.below(2)), 1);
    tell(days_ago(after, 13), people_.fitter, WriteNote{std::string(trouble.mended)});
    const std::array<std::string_view, 1> again{trouble.checkpoint};
    inspect(days_ago(after, 13.5), people_.fitter, again);
    if (held || is_safety(trouble))
      tell(days_ago(after, 14.2), people_.supervisor, ReleaseBox{"Mended and inspected again."});
    back_home(days_ago(after, 15));
  }

  // One or two days at a core station.
  void run(int day, int days) {
    const std::string station = dice_.uniform() < 0.6 ? "Core station 1" : "Core station 2";
    short_look(days_ago(day, 6.1));
    move(days_ago(day, 6.5), an_operator(), Place::Kind::station, station);
    for (int d = day; d > day - days; --d)
      for (const double hour : {7.0, 10.5, 15.0})
        story_.shots.push_back({days_ago(d, hour), std::string(box_.id), station,
                                60 + static_cast<std::int64_t>(dice_.below(120))});
    if (dice_.uniform() < 0.25)
      tell(days_ago(day, 17 + dice_.uniform()), an_operator(),
           WriteNote{remarks[dice_.below(remarks.size())]});
    back_home(days_ago(day - days + 1, 21.5));
  }

  // Runs every few weeks, a full inspection about once a month, trouble now and then; quiet for the last
  // weeks, which `end` tells.
  void live_from(int day) {
    int inspected = day + 100;
    constexpr int last_day = 50;
    while (day > last_day) {
      if (inspected - day > 28) {
        inspect(days_ago(day, 14 + dice_.uniform()), dice_.uniform() < 0.5 ? people_.fitter : an_operator());
        inspected = day;
      }
      day -= 2;
      if (dice_.uniform() < 0.07) {
        mend(day, ordinary_troubles[dice_.below(ordinary_troubles.size())]);
        day -= 4;
      }
      const int days = 1 + static_cast<int>(dice_.below(2));
      run(day, days);
      day -= days + 10 + static_cast<int>(dice_.below(32));
    }
  }

  // Failed today or lately and not yet put right.
  void stands_with(int day, const Trouble& trouble) {
    inspect(days_ago(day, 9.3), people_.fitter, {}, &trouble);
  }

  void end() {
    const int lately = 4 + static_cast<int>(dice_.below(18));
    switch (box_.ending) {
      case Ending::overdue:
        inspect(days_ago(43, 14.2), an_operator());
        return;
      case Ending::running:
        inspect(days_ago(6, 14.3), people_.fitter);
        return running();
      case Ending::springs_open:
        return stands_with(9, open_without_clamps);
      case Ending::wrong_piece:
        stands_with(2, piece_not_seated);
        return held(2, piece_not_seated.found);
      case Ending::loose_handle:
        stands_with(1, handle_loose);
        return move(days_ago(1, 10.1), people_.fitter, Place::Kind::tool_room,
                    "Tool-room, floor, not to be lifted");
      case Ending::torn_vents:
        return stands_with(lately, vents_torn);
      case Ending::baked_on:
        return stands_with(lately, binder_baked_on);
      case Ending::at_the_tool_room:
        stands_with(4, worn_bushes);
        held(4, worn_bushes.found);
        return tell(days_ago(3, 11), people_.fitter,
                    WriteNote{"New bushes ordered from store, due this week."});
      case Ending::away:
        inspect(days_ago(lately, 9.2), people_.fitter);
        return move(days_ago(lately - 1, 15.4), people_.tooling, Place::Kind::outside_shop,
                    "At the pattern shop for a print insert");
      case Ending::missing:
        inspect(days_ago(lately, 9.2), people_.fitter);
        return move(days_ago(1, 12.7), people_.supervisor, Place::Kind::missing,
                    "Not in its bay at the count; last run ended here");
      case Ending::fit:
      case Ending::new_box:
        return inspect(days_ago(lately, 9.2 + dice_.uniform()),
                       dice_.uniform() < 0.5 ? people_.fitter : an_operator());
    }
  }

  void held(int day, std::string_view why) {
    tell(days_ago(day, 9.8), people_.quality, HoldBox{std::string(why), false, ""});
    move(days_ago(day, 10.5), people_.fitter, Place::Kind::tool_room, "Tool-room, bench 1");
  }

  // On the station for two and a half hours, a core every seventy seconds or so.
  void running() {
    short_look(now_ - 3h);
    move(now_ - 160min, an_operator(), Place::Kind::station, "Core station 1");
    for (auto ago = 150min; ago > 0min; ago -= 10min)
      story_.shots.push_back({now_ - ago, std::string(box_.id), "Core station 1",
                              8 + static_cast<std::int64_t>(dice_.below(2))});
    tell(now_ - 140min, an_operator(), WriteNote{"First pieces good: five checked, none bad."});
  }

  const ShopBox& box_;
  const BoxRegistered& registration_;
  const Catalogue& catalogue_;
  UtcTime now_;
  Dice dice_;
  ShopPeople people_;
  BoxStory story_;
};

}  // namespace

BoxStory box_story(const ShopBox& box, const BoxRegistered& registration, const Catalogue& catalogue,
                   UtcTime now) {
  return Story(box, registration, catalogue, now).told();
}

}  // namespace boxfettle::demo
