// Random requests of every kind there is, most of them such as the state of the box invites, for property
// tests.
#pragma once

#include <rapidcheck.h>

#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "shop/invented_requests.hpp"
#include "shop/sentence.hpp"
#include "shop/shop_state.hpp"

namespace boxfettle {

// What the teller may look at while making something up.
struct Around {
  const BoxState& box;
  const Catalogue& catalogue;
  UtcTime now;
};

template <class Value>
Value one_of(const std::vector<Value>& values, const Value& otherwise) {
  if (values.empty() || *rc::gen::inRange(0, 12) == 0) return otherwise;
  return values[*rc::gen::inRange<std::size_t>(0, values.size())];
}
template <class Map>
std::string one_key(const Map& map, const std::string& otherwise) {
  std::vector<std::string> keys;
  for (const auto& [key, value] : map) keys.push_back(key);
  return one_of(keys, otherwise);
}
template <class Map>
std::vector<std::string> most_keys(const Map& map) {
  std::vector<std::string> keys;
  for (const auto& [key, value] : map)
    if (*rc::gen::inRange(0, 10) > 0) keys.push_back(key);
  return keys;
}
inline bool seldom() {
  return *rc::gen::inRange(0, 6) == 0;
}
inline std::int64_t any_count(std::int64_t below) {
  return *rc::gen::inRange<std::int64_t>(0, below);
}
inline double any_number(double below) {
  return static_cast<double>(any_count(1000)) / 1000 * below;
}
inline std::string any_piece_label() {
  return *rc::gen::element<std::string>("TM-0412-A", "TM-0412-B", "TM-0500-A");
}
inline std::string any_station() {
  return *rc::gen::element<std::string>("Core station 1", "Core station 2");
}
inline Place any_place() {
  return {static_cast<Place::Kind>(*rc::gen::inRange(0, 5)),
          *rc::gen::element<std::string>("Rack C, bay 1", "Core station 1", "Core station 2", "")};
}
inline CoreDefect any_defect() {
  return static_cast<CoreDefect>(*rc::gen::inRange<std::size_t>(0, core_defect_names.size()));
}
inline std::string any_run(const BoxState& box) {
  return seldom() ? box.box + "/" + std::to_string(any_count(4)) : "";
}
inline std::vector<CareRule> any_care() {
  std::vector<CareRule> care;
  for (std::int64_t i = any_count(3); i > 0; --i)
    care.push_back({"care-" + std::to_string(any_count(3)), "Blow out", "", "", seldom(), any_count(3) * 60,
                    any_count(2) * 100, any_count(2), any_count(2) * 10, any_count(2) * 30});
  return care;
}

// One for each kind of entry that is told as it is written; a kind without one does not compile below.

inline Computed made_up(const Around& around, const Computed*) {
  return {*rc::gen::element<std::string>("dowels", "vents"),
          static_cast<Computed::Verdict>(any_count(3)),
          "Shift 0.3 mm.",
          {{"shift", any_number(1), "mm"}},
          around.box.inspected_entry};
}
inline ComponentFitted made_up(const Around&, const ComponentFitted*) {
  return {"D" + std::to_string(any_count(3)),
          static_cast<ComponentFitted::What>(any_count(9)),
          "upper",
          "",
          "PIN-12",
          any_remark()};
}
inline PieceRegistered made_up(const Around&, const PieceRegistered*) {
  return {any_piece_label(), "Port former", "Rack B, bay 3, tray"};
}
inline PieceMoved made_up(const Around& around, const PieceMoved*) {
  return {one_key(around.box.kit, "TM-0999-A"), any_place()};
}
inline PieceRetired made_up(const Around& around, const PieceRetired*) {
  return {one_key(around.box.kit, "TM-0999-A"), "worn out"};
}
inline FileFiled made_up(const Around&, const FileFiled*) {
  const std::string name = "sheet " + std::to_string(any_count(3)) + ".pdf";
  return {name, content_hash(name).hex(), seldom() ? "tooling sheet" : ""};
}
inline StockTaken made_up(const Around& around, const StockTaken*) {
  return {"Rack C", seldom() ? "" : one_key(around.box.kit, ""),
          static_cast<StockTaken::Outcome>(any_count(3)), any_place()};
}
inline Conceded made_up(const Around& around, const Conceded*) {
  return {"customer agreed", {}, around.now + std::chrono::hours(any_count(50) - 2), 1 + any_count(300)};
}
inline Quarantined made_up(const Around&, const Quarantined*) {
  return {"cracked casting"};
}
inline QuarantineLifted made_up(const Around&, const QuarantineLifted*) {
  return {"casting was cold-shut"};
}
inline Scrapped made_up(const Around&, const Scrapped*) {
  return {"worn through"};
}
inline RunOpened made_up(const Around& around, const RunOpened*) {
  RunOpened run;
  run.station = any_station();
  run.planned = 1 + any_count(400);
  run.order = seldom() ? "W-12" : "";
  run.batch = "B-7";
  run.pieces = most_keys(around.box.kit);
  if (seldom()) run.care = any_care();  // the sender's opinion of what the shop decides
  if (seldom()) run.first_pieces = 0;
  return run;
}
inline FirstPieceLooked made_up(const Around& around, const FirstPieceLooked*) {
  FirstPieceLooked piece{any_run(around.box), any_count(9), !seldom(), {}, any_remark()};
  if (const auto& open = around.box.runs.open)
    for (const std::string& wanted : open->opened.to_measure)
      if (!seldom()) piece.measured.push_back({wanted, any_number(10), "g", !seldom()});
  return piece;
}
inline CareDone made_up(const Around& around, const CareDone*) {
  std::string care = "air";
  if (const auto& open = around.box.runs.open; open && !open->opened.care.empty())
    care = open->opened
               .care[static_cast<std::size_t>(any_count(static_cast<std::int64_t>(open->opened.care.size())))]
               .id;
  return {any_run(around.box), care, any_count(400), any_remark()};
}
inline RunPaused made_up(const Around& around, const RunPaused*) {
  return {any_run(around.box), "no sand"};
}
inline RunResumed made_up(const Around& around, const RunResumed*) {
  return {any_run(around.box)};
}
inline HandedOver made_up(const Around& around, const HandedOver*) {
  return {any_run(around.box), "Kofi", any_count(400), any_remark()};
}
inline RunClosed made_up(const Around& around, const RunClosed*) {
  return {any_run(around.box),
          any_count(400),
          any_count(20),
          static_cast<RunClosed::Condition>(any_count(3)),
          most_keys(around.box.kit),
          "Moulding line 1",
          any_remark()};
}
inline CareChosen made_up(const Around&, const CareChosen*) {
  return {any_care(), "sand is wet"};
}
inline FirstPiecesChosen made_up(const Around&, const FirstPiecesChosen*) {
  FirstPiecesChosen chosen{any_count(4), {}};
  if (seldom()) chosen.to_measure = {"core weight"};
  return chosen;
}
inline DefectSeen made_up(const Around& around, const DefectSeen*) {
  DefectSeen seen{any_defect(), 1 + any_count(5), any_run(around.box), {}, {}, any_remark()};
  if (seldom()) seen.x = any_number(1.5);
  if (seen.x || seldom()) seen.y = any_number(1.5);
  return seen;
}
inline DefectNotSeen made_up(const Around&, const DefectNotSeen*) {
  return {any_defect()};
}
inline CauseConfirmed made_up(const Around&, const CauseConfirmed*) {
  return {"vents-plugged", {std::string(name(any_defect()))}, {}, any_remark()};
}
inline LearningReset made_up(const Around&, const LearningReset*) {
  return {seldom() ? "vents-plugged" : "", "new sand"};
}
inline SuspectsListed made_up(const Around& around, const SuspectsListed*) {
  SuspectsListed listed;
  listed.property = one_key(around.box.suspects.last_bad, "vents");
  if (seldom()) listed.since = around.now - std::chrono::hours(any_count(100));
  listed.why = "found bad";
  return listed;
}
inline LotDealtWith made_up(const Around& around, const LotDealtWith*) {
  return {one_key(around.box.suspects.traces, "TM-0412/T9"), any_count(3), any_count(200), any_count(5),
          "sorted"};
}
inline FalseAlarm made_up(const Around& around, const FalseAlarm*) {
  return {one_key(around.box.suspects.traces, "TM-0412/T9"), "gauge was wrong"};
}
inline JobRaised made_up(const Around& around, const JobRaised*) {
  return {"",
          "scrape in",
          "scraping",
          any_number(20),
          {{"PIN-12", 1}},
          0,
          seldom() ? one_key(around.box.jobs.open, "") : ""};
}
inline JobStarted made_up(const Around& around, const JobStarted*) {
  return {one_key(around.box.jobs.open, "TM-0412/J99"), "Yusuf"};
}
inline JobDone made_up(const Around& around, const JobDone*) {
  return {one_key(around.box.jobs.open, "TM-0412/J99"), any_number(20), any_remark()};
}
inline JobDropped made_up(const Around& around, const JobDropped*) {
  return {one_key(around.box.jobs.open, "TM-0412/J99"), "not needed"};
}
inline RunPlanned made_up(const Around& around, const RunPlanned*) {
  return {one_key(around.box.jobs.planned, ""),
          around.now + std::chrono::hours(any_count(90)),
          any_count(400),
          any_number(3),
          any_station(),
          seldom() ? "W-12" : ""};
}
inline RunUnplanned made_up(const Around& around, const RunUnplanned*) {
  return {one_key(around.box.jobs.planned, "TM-0412/P99"), "order is off"};
}
inline SpareCounted made_up(const Around& around, const SpareCounted*) {
  SpareCounted counted{"PIN-12", "pin", any_count(9), 2, {}, 0};
  if (seldom()) counted.arrives = around.now;
  return counted;
}
inline FitterHours made_up(const Around&, const FitterHours*) {
  return {"Yusuf", {"fitting"}, any_count(1000), any_count(2) * 1000, {1, 2, 1 + any_count(7)}};
}
inline FitterAway made_up(const Around& around, const FitterAway*) {
  return {seldom() ? "" : "Yusuf", around.now, around.now + std::chrono::hours(any_count(48)), "a course"};
}
inline PlaceRegistered made_up(const Around&, const PlaceRegistered*) {
  return {"C-" + std::to_string(any_count(3)), "Rack C", any_place()};
}
inline SandMixed made_up(const Around&, const SandMixed*) {
  return {"COLD-60", any_remark().substr(0, 4), any_number(90), any_number(2)};
}
inline ShopCareChosen made_up(const Around&, const ShopCareChosen*) {
  ShopCareChosen chosen{seldom() ? "cold-box" : "", {}, any_care(), "hot summer"};
  if (seldom()) chosen.months = {1 + any_count(12)};
  return chosen;
}
// The shipped catalogue under a higher version, one of its checkpoints with another consequence.
inline CatalogueWritten made_up(const Around& around, const CatalogueWritten*) {
  std::string toml = "version = " + std::to_string(around.catalogue.version + any_count(3)) +
                     "\ninspect_again_after_days = 30\ninspect_before_run_within_hours = 24\n";
  for (const Checkpoint& point : around.catalogue.checkpoints) {
    const Consequence consequence = seldom() ? static_cast<Consequence>(any_count(4)) : point.consequence;
    toml += "[[checkpoint]]\nid = \"" + point.id + "\"\ntitle = \"" + point.title +
            "\"\nhow = \"Look.\"\nfails_when = \"It is bad.\"\nevidence = \"yes-no\"\nconsequence = \"" +
            std::string(name(consequence)) + "\"\n";
    if (consequence == Consequence::safety_hold) toml += "caution = \"Stand clear.\"\n";
  }
  return {toml, "worded anew"};
}

// Those that have a request of their own; told as an entry they are a way round its rules.
inline BoxRegistered made_up(const Around&, const BoxRegistered*) {
  return volute_box();
}
inline Moved made_up(const Around&, const Moved*) {
  return {any_place()};
}
inline Inspected made_up(const Around&, const Inspected*) {
  return {1, any_inspection().results};
}
inline ScanRead made_up(const Around&, const ScanRead*) {
  return any_scan().scan;
}
inline Held made_up(const Around&, const Held*) {
  return {"cracked", seldom(), "handles"};
}
inline Released made_up(const Around& around, const Released*) {
  Released released{"it is needed", {}};
  for (const OpenHold& hold : around.box.holds) released.holds.push_back(hold.entry);
  return released;
}
inline NoteWritten made_up(const Around&, const NoteWritten*) {
  return {"nothing to tell"};
}

template <std::size_t... Index>
EntryBody body_of_kind(const Around& around, std::size_t kind, std::index_sequence<Index...>) {
  EntryBody body;
  const bool made =
      ((kind == Index &&
        (body = made_up(around, static_cast<const std::variant_alternative_t<Index, EntryBody>*>(nullptr)),
         true)) ||
       ...);
  RC_ASSERT(made);
  return body;
}

constexpr std::size_t kinds_of_entry = std::variant_size_v<EntryBody>;

inline EntryBody any_body(const Around& around) {
  const auto kind = *rc::gen::inRange<std::size_t>(0, kinds_of_entry);
  return body_of_kind(around, kind, std::make_index_sequence<kinds_of_entry>());
}

template <class Body>
Tell invited(const Around& around) {
  return Tell{made_up(around, static_cast<const Body*>(nullptr))};
}

// Everything looked at, nearly always well: what opens the way to a run.
inline InspectBox whole_inspection(const Catalogue& catalogue) {
  InspectBox inspection;
  const bool with_a_fault = seldom();
  for (const Checkpoint& point : catalogue.checkpoints) {
    CheckpointResult result = any_result(point);
    if (result.measured) result.measured = any_number(0.15);  // within what any checkpoint allows
    result.passed = !with_a_fault || *rc::gen::inRange(0, 12) > 0;
    inspection.results.push_back(std::move(result));
  }
  return inspection;
}

// The next thing to do on the way to a run that counts, or within one.
inline decltype(Request::what) next_step(const Around& around) {
  const BoxState& box = around.box;
  if (!box.registered) return RegisterBox{volute_box()};
  if (!box.holds.empty() && *rc::gen::arbitrary<bool>()) return ReleaseBox{"mended and tried"};
  if (!box.runs.open) {
    if (*rc::gen::arbitrary<bool>()) return whole_inspection(around.catalogue);
    return invited<RunOpened>(around);
  }
  if (seldom()) return invited<RunClosed>(around);
  return *rc::gen::arbitrary<bool>() ? invited<FirstPieceLooked>(around) : invited<CareDone>(around);
}

// Of every kind, most often one that leads on.
inline Request any_request_at_all(const Around& around, const std::string& id) {
  const int draw = *rc::gen::inRange(0, 10);
  if (draw < 5) return {id, around.box.box, next_step(around)};
  if (draw < 7) return any_request(id);
  EntryBody body = any_body(around);
  return {id, of_whole_shop(body) ? std::string(whole_shop) : around.box.box, Tell{std::move(body)}};
}

inline Person any_person_by_name() {
  static const std::vector<Person> people{{"Asha", Role::operator_},
                                          {"Mirela", Role::supervisor},
                                          {"Yusuf", Role::fitter},
                                          {"Leonor", Role::quality},
                                          {"Greta", Role::tooling}};
  return people[*rc::gen::inRange<std::size_t>(0, people.size())];
}

}  // namespace boxfettle
