#include "demo/shop_story.hpp"

#include <array>
#include <string>

#include "demo/days.hpp"
#include "demo/shop_boxes.hpp"
#include "demo/shop_people.hpp"

namespace boxfettle::demo {
namespace {

struct Labelled {
  std::string_view label;
  Place::Kind kind;
  std::string_view text;
};

constexpr std::array other_places{
    Labelled{"ST-1", Place::Kind::station, "Core station 1"},
    Labelled{"ST-2", Place::Kind::station, "Core station 2"},
    Labelled{"TR-1", Place::Kind::tool_room, "Tool-room, bench 1"},
    Labelled{"TR-2", Place::Kind::tool_room, "Tool-room, bench 2"},
    Labelled{"TR-F", Place::Kind::tool_room, "Tool-room, floor, not to be lifted"},
    Labelled{"OUT-1", Place::Kind::outside_shop, "At the pattern shop for a print insert"},
};

struct Stocked {
  std::string_view spare, words;
  std::int64_t count, minimum;
  int arrives_in_days = 0;  // 0: none is ordered
  std::int64_t ordered = 0;
};

constexpr std::array spares{
    Stocked{"PIN-12", "Dowel pin, hardened, 12 mm", 9, 4},
    Stocked{"BUSH-12", "Round bush, 12 mm", 0, 4, 2, 10},
    Stocked{"BUSH-12-SLOT", "Slotted bush, 12 mm", 5, 4},
    Stocked{"VENT-6", "Slotted vent, 6 mm", 46, 20},
    Stocked{"TOGGLE-LINK", "Link of a toggle clamp", 3, 2},
    Stocked{"STUD-M10", "Stud M10 with thread insert", 6, 4},
    Stocked{"SEAL-CORD-8", "Cord seal, 8 mm, one length", 2, 3, 5, 6},
};

const std::array sands{
    SandMixed{"COLD-60", "Cold-box, washed quartz", 60, 1.54},
    SandMixed{"SHELL-70", "Shell, coated quartz", 70, 1.58},
    SandMixed{"HOT-60", "Hot-box, washed quartz", 60, 1.55},
    SandMixed{"NB-50", "No-bake, part reclaimed", 50, 1.52},
    SandMixed{"CO2-55", "Water glass, washed quartz", 55, 1.56},
};

class ShopTeller {
 public:
  explicit ShopTeller(UtcTime now) : days_(now) {}

  Story told() {
    places();
    for (const SandMixed& sand : sands) tell(days_.ago(days_told, 5.5), people_.quality, sand);
    hands();
    summer_care();
    for (const Stocked& spare : spares) count(spare);
    return std::move(story_);
  }

 private:
  template <class Body>
  void tell(UtcTime at, const Person& who, Body body) {
    story_.tell(at, who, whole_shop, Tell{std::move(body)});
  }

  // "Rack B, bay 3" has the label "B-3".
  void places() {
    const UtcTime at = days_.ago(days_told, 5);
    for (const ShopBox& box : shop_boxes()) {
      const std::string bay(box.home_place);
      const std::string label = bay.substr(5, 1) + "-" + bay.substr(bay.rfind(' ') + 1);
      tell(at, people_.tooling, PlaceRegistered{label, bay.substr(0, 6), {Place::Kind::bay, bay}});
    }
    for (const Labelled& place : other_places)
      tell(at, people_.tooling,
           PlaceRegistered{std::string(place.label), "", {place.kind, std::string(place.text)}});
  }

  void hands() {
    const std::vector<std::int64_t> weekdays{1, 2, 3, 4, 5}, with_saturday{1, 2, 3, 4, 5, 6};
    const UtcTime at = days_.ago(days_told, 5.7);
    tell(at, people_.supervisor,
         FitterHours{people_.fitter.name, {"fitting", "cleaning"}, 6 * 60, 14 * 60, with_saturday});
    tell(at, people_.supervisor,
         FitterHours{"Odile", {"fitting", "scraping", "welding", "machining"}, 7 * 60, 15 * 60, weekdays});
    tell(days_.ago(200, 8), people_.supervisor,
         FitterHours{"Tariq", {"cleaning", "fitting"}, 14 * 60, 22 * 60, weekdays});
  }

  void summer_care() {
    std::vector<CareRule> care = shipped_care().front().care;
    for (CareRule& rule : care)
      if (rule.id == "agent") rule.every_minutes = 180;
    tell(days_.ago(400, 9), people_.quality,
         ShopCareChosen{"cold-box", {6, 7, 8}, care, "Binder bakes on sooner in the hot months."});
  }

  void count(const Stocked& spare) {
    SpareCounted counted;
    counted.spare = spare.spare;
    counted.words = spare.words;
    counted.count = spare.count;
    counted.minimum = spare.minimum;
    counted.ordered = spare.ordered;
    if (spare.ordered > 0) counted.arrives = days_.ago(-spare.arrives_in_days, 9);
    tell(days_.ago(2, 13.2), people_.fitter, counted);
  }

  Days days_;
  ShopPeople people_;
  Story story_;
};

}  // namespace

Story shop_story(UtcTime now) {
  return ShopTeller(now).told();
}

}  // namespace boxfettle::demo
