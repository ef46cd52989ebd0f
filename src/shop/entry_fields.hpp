// What each kind of entry holds, told once: the key, the member and the rule of every field. Writing an entry
// down, reading it back and checking it all follow these lists.
//
// A visitor has
//   label(key, text, Empty)      one line: names, ids, places
//   prose(key, text, Empty)      many lines: reasons, remarks
//   document(key, text)          a whole file's text
//   flag(key, bool)
//   count(key, whole number, least)     also optional
//   number(key, double, least)   also optional
//   time(key, UtcTime)           also optional
//   choice(key, enumeration, names)
//   place(key, Place)
//   names(key, list of labels, most)
//   counts(key, list of whole numbers, least, greatest)
//   list(key, list of structs that have fields here, most)
#pragma once

#include <array>
#include <concepts>
#include <string_view>
#include <type_traits>

#include "shop/entry.hpp"
#include "shop/text_check.hpp"

namespace boxfettle {

template <class Body, class Kind>
concept Of = std::same_as<std::remove_const_t<Body>, Kind>;

inline constexpr std::array<std::string_view, 9> component_names{
    "dowel", "bush", "vent", "clamp", "handle", "ejector", "seal", "blow-tube", "other"};
inline constexpr std::array<std::string_view, 3> stock_outcome_names{"found", "strayed", "missing"};
inline constexpr std::array<std::string_view, 3> run_condition_names{"good", "look-at-it", "damaged"};

constexpr std::size_t most_parts = 200;

// Loose pieces and components

template <class V, Of<ComponentFitted> B>
void fields(V& v, B& b) {
  v.label("component", b.component);
  v.choice("what", b.what, component_names);
  v.label("half", b.half, Empty::allowed);
  v.label("words", b.words, Empty::allowed);
  v.label("spare", b.spare, Empty::allowed);
  v.prose("why", b.why, Empty::allowed);
}
template <class V, Of<PieceRegistered> B>
void fields(V& v, B& b) {
  v.label("piece", b.piece);
  v.label("name", b.name);
  v.label("home", b.home, Empty::allowed);
}
template <class V, Of<PieceMoved> B>
void fields(V& v, B& b) {
  v.label("piece", b.piece);
  v.place("to", b.to);
}
template <class V, Of<PieceRetired> B>
void fields(V& v, B& b) {
  v.label("piece", b.piece);
  v.prose("why", b.why);
}
template <class V, Of<FileFiled> B>
void fields(V& v, B& b) {
  v.label("name", b.name);
  v.label("file", b.file);
  v.label("words", b.words, Empty::allowed);
}
template <class V, Of<StockTaken> B>
void fields(V& v, B& b) {
  v.label("rack", b.rack);
  v.label("piece", b.piece, Empty::allowed);
  v.choice("outcome", b.outcome, stock_outcome_names);
  v.place("seen", b.seen);
}

// Calculations

inline constexpr std::array<std::string_view, 3> computed_verdict_names{"fit", "watch", "hold"};

template <class V, Of<Computed::Figure> B>
void fields(V& v, B& b) {
  v.label("name", b.name);
  v.number("value", b.value);
  v.label("unit", b.unit, Empty::allowed);
}
template <class V, Of<Computed> B>
void fields(V& v, B& b) {
  v.label("what", b.what);
  v.choice("verdict", b.verdict, computed_verdict_names);
  v.prose("text", b.text);
  v.list("figures", b.figures, most_parts);
  v.count("from_entry", b.from_entry, 0);
}

// Holds

template <class V, Of<Conceded> B>
void fields(V& v, B& b) {
  v.prose("why", b.why);
  v.counts("holds", b.holds, 1, 0);
  v.time("until", b.until);
  v.count("shots", b.shots, 1);
  v.count("made", b.made, 0);
}
template <class V, Of<Quarantined> B>
void fields(V& v, B& b) {
  v.prose("why", b.why);
}
template <class V, Of<QuarantineLifted> B>
void fields(V& v, B& b) {
  v.prose("why", b.why);
}
template <class V, Of<Scrapped> B>
void fields(V& v, B& b) {
  v.prose("why", b.why);
}

// Runs

template <class V, Of<CareRule> B>
void fields(V& v, B& b) {
  v.label("id", b.id);
  v.label("title", b.title);
  v.prose("how", b.how, Empty::allowed);
  v.prose("caution", b.caution, Empty::allowed);
  v.flag("each_core", b.each_core);
  v.count("every_minutes", b.every_minutes, 0);
  v.count("every_shots", b.every_shots, 0);
  v.count("every_days", b.every_days, 0);
  v.count("grace_minutes", b.grace_minutes, 0);
  v.count("stop_after_minutes", b.stop_after_minutes, 0);
}
template <class V, Of<RunOpened> B>
void fields(V& v, B& b) {
  v.label("run", b.run);
  v.label("station", b.station);
  v.label("order", b.order, Empty::allowed);
  v.label("batch", b.batch, Empty::allowed);
  v.label("sand", b.sand, Empty::allowed);
  v.count("planned", b.planned, 1);
  v.names("pieces", b.pieces, most_parts);
  v.list("care", b.care, most_parts);
  v.count("first_pieces", b.first_pieces, 0);
  v.names("to_measure", b.to_measure, most_parts);
}
template <class V, Of<FirstPieceLooked::Measured> B>
void fields(V& v, B& b) {
  v.label("characteristic", b.characteristic);
  v.number("value", b.value);
  v.label("unit", b.unit, Empty::allowed);
  v.flag("passed", b.passed);
}
template <class V, Of<FirstPieceLooked> B>
void fields(V& v, B& b) {
  v.label("run", b.run);
  v.count("number", b.number, 1);
  v.flag("passed", b.passed);
  v.list("measured", b.measured, most_parts);
  v.prose("remark", b.remark, Empty::allowed);
}
template <class V, Of<CareDone> B>
void fields(V& v, B& b) {
  v.label("run", b.run);
  v.label("care", b.care);
  v.count("shots", b.shots, 0);
  v.prose("remark", b.remark, Empty::allowed);
}
template <class V, Of<RunPaused> B>
void fields(V& v, B& b) {
  v.label("run", b.run);
  v.prose("why", b.why);
}
template <class V, Of<RunResumed> B>
void fields(V& v, B& b) {
  v.label("run", b.run);
}
template <class V, Of<HandedOver> B>
void fields(V& v, B& b) {
  v.label("run", b.run);
  v.label("to", b.to);
  v.count("shots", b.shots, 0);
  v.prose("remark", b.remark, Empty::allowed);
}
template <class V, Of<RunClosed> B>
void fields(V& v, B& b) {
  v.label("run", b.run);
  v.count("made", b.made, 0);
  v.count("bad", b.bad, 0);
  v.choice("condition", b.condition, run_condition_names);
  v.names("pieces", b.pieces, most_parts);
  v.label("went_to", b.went_to, Empty::allowed);
  v.prose("remark", b.remark, Empty::allowed);
}
template <class V, Of<CareChosen> B>
void fields(V& v, B& b) {
  v.list("care", b.care, most_parts);
  v.prose("why", b.why);
}
template <class V, Of<FirstPiecesChosen> B>
void fields(V& v, B& b) {
  v.count("count", b.count, 0);
  v.names("to_measure", b.to_measure, most_parts);
}

// Bad cores

template <class V, Of<DefectSeen> B>
void fields(V& v, B& b) {
  v.choice("defect", b.defect, core_defect_names);
  v.count("count", b.count, 1);
  v.label("run", b.run, Empty::allowed);
  v.number("x", b.x, 0);
  v.number("y", b.y, 0);
  v.prose("remark", b.remark, Empty::allowed);
}
template <class V, Of<DefectNotSeen> B>
void fields(V& v, B& b) {
  v.choice("defect", b.defect, core_defect_names);
}
template <class V, Of<CauseConfirmed> B>
void fields(V& v, B& b) {
  v.label("fault", b.fault);
  v.names("seen", b.seen, most_parts);
  v.names("not_seen", b.not_seen, most_parts);
  v.prose("remark", b.remark, Empty::allowed);
}
template <class V, Of<LearningReset> B>
void fields(V& v, B& b) {
  v.label("fault", b.fault, Empty::allowed);
  v.prose("why", b.why);
}
template <class V, Of<SuspectsListed::Lot> B>
void fields(V& v, B& b) {
  v.label("run", b.run);
  v.label("batch", b.batch, Empty::allowed);
  v.label("went_to", b.went_to, Empty::allowed);
  v.time("from", b.from);
  v.time("to", b.to);
  v.count("cores", b.cores, 0);
}
template <class V, Of<SuspectsListed> B>
void fields(V& v, B& b) {
  v.label("trace", b.trace);
  v.label("property", b.property);
  v.time("since", b.since);
  v.count("good_entry", b.good_entry, 0);
  v.count("bad_entry", b.bad_entry, 0);
  v.prose("why", b.why);
  v.list("lots", b.lots, 10000);
}
template <class V, Of<LotDealtWith> B>
void fields(V& v, B& b) {
  v.label("trace", b.trace);
  v.count("lot", b.lot, 0);
  v.count("good", b.good, 0);
  v.count("bad", b.bad, 0);
  v.prose("what", b.what);
}
template <class V, Of<FalseAlarm> B>
void fields(V& v, B& b) {
  v.label("trace", b.trace);
  v.prose("why", b.why);
}

// Tool-room

template <class V, Of<PartNeeded> B>
void fields(V& v, B& b) {
  v.label("spare", b.spare);
  v.count("count", b.count, 1);
}
template <class V, Of<JobRaised> B>
void fields(V& v, B& b) {
  v.label("job", b.job);
  v.prose("what", b.what);
  v.label("skill", b.skill);
  v.number("hours", b.hours, 0);
  v.list("parts", b.parts, most_parts);
  v.count("from_entry", b.from_entry, 0);
  v.label("after", b.after, Empty::allowed);
}
template <class V, Of<JobStarted> B>
void fields(V& v, B& b) {
  v.label("job", b.job);
  v.label("fitter", b.fitter);
}
template <class V, Of<JobDone> B>
void fields(V& v, B& b) {
  v.label("job", b.job);
  v.number("hours", b.hours, 0);
  v.prose("remark", b.remark, Empty::allowed);
}
template <class V, Of<JobDropped> B>
void fields(V& v, B& b) {
  v.label("job", b.job);
  v.prose("why", b.why);
}
template <class V, Of<RunPlanned> B>
void fields(V& v, B& b) {
  v.label("plan", b.plan);
  v.time("start", b.start);
  v.count("quantity", b.quantity, 0);
  v.number("importance", b.importance, 0);
  v.label("station", b.station, Empty::allowed);
  v.label("order", b.order, Empty::allowed);
}
template <class V, Of<RunUnplanned> B>
void fields(V& v, B& b) {
  v.label("plan", b.plan);
  v.prose("why", b.why);
}
template <class V, Of<SpareCounted> B>
void fields(V& v, B& b) {
  v.label("spare", b.spare);
  v.label("words", b.words, Empty::allowed);
  v.count("count", b.count, 0);
  v.count("minimum", b.minimum, 0);
  v.time("arrives", b.arrives);
  v.count("ordered", b.ordered, 0);
}
template <class V, Of<FitterHours> B>
void fields(V& v, B& b) {
  v.label("fitter", b.fitter);
  v.names("skills", b.skills, most_parts);
  v.count("from_minute", b.from_minute, 0);
  v.count("to_minute", b.to_minute, 0);
  v.counts("weekdays", b.weekdays, 1, 7);
}
template <class V, Of<FitterAway> B>
void fields(V& v, B& b) {
  v.label("fitter", b.fitter, Empty::allowed);
  v.time("from", b.from);
  v.time("to", b.to);
  v.prose("why", b.why, Empty::allowed);
}
template <class V, Of<PlaceRegistered> B>
void fields(V& v, B& b) {
  v.label("label", b.label);
  v.label("rack", b.rack, Empty::allowed);
  v.place("place", b.place);
}
template <class V, Of<SandMixed> B>
void fields(V& v, B& b) {
  v.label("mix", b.mix);
  v.label("words", b.words, Empty::allowed);
  v.number("grain_fineness", b.grain_fineness, 0);
  v.number("bulk_density_g_cm3", b.bulk_density_g_cm3, 0);
}
template <class V, Of<ShopCareChosen> B>
void fields(V& v, B& b) {
  v.label("process", b.process, Empty::allowed);
  v.counts("months", b.months, 1, 12);
  v.list("care", b.care, most_parts);
  v.prose("why", b.why);
}
template <class V, Of<CatalogueWritten> B>
void fields(V& v, B& b) {
  v.document("toml", b.toml);
  v.prose("why", b.why);
}

// The kinds whose fields stand above; those before them have a written form of their own.
template <class Body>
concept HasFields = requires {
  Body::kind;
};

}  // namespace boxfettle
