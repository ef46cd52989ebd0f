// One sentence for each kind of entry, as `sentence` puts it. For shop/ alone.
#pragma once

#include <string>

#include "shop/entry.hpp"

namespace boxfettle::told_as {

std::string count_of(std::size_t count, const std::string& thing);  // "3 cores", "1 core"
std::string in_brackets(const std::string& text);                   // " (text)", or nothing
std::string joined(const std::vector<std::string>& words);          // "a, b, c"
std::string words(const Place& place);                              // "station 3", "the tool-room"
std::string outcome(const CheckpointResult& result);  // "dowels failed (0.12 mm; left pin loose)"

// piece_sentences.cpp
std::string told(const Computed& body);
std::string told(const ComponentFitted& body);
std::string told(const PieceRegistered& body);
std::string told(const PieceMoved& body);
std::string told(const PieceRetired& body);
std::string told(const FileFiled& body);
std::string told(const StockTaken& body);
std::string told(const Conceded& body);
std::string told(const Quarantined& body);
std::string told(const QuarantineLifted& body);
std::string told(const Scrapped& body);

// run_sentences.cpp
std::string told(const RunOpened& body);
std::string told(const FirstPieceLooked& body);
std::string told(const CareDone& body);
std::string told(const RunPaused& body);
std::string told(const RunResumed& body);
std::string told(const HandedOver& body);
std::string told(const RunClosed& body);
std::string told(const CareChosen& body);
std::string told(const FirstPiecesChosen& body);
std::string told(const DefectSeen& body);
std::string told(const DefectNotSeen& body);
std::string told(const CauseConfirmed& body);
std::string told(const LearningReset& body);
std::string told(const SuspectsListed& body);
std::string told(const LotDealtWith& body);
std::string told(const FalseAlarm& body);

// tool_room_sentences.cpp
std::string told(const JobRaised& body);
std::string told(const JobStarted& body);
std::string told(const JobDone& body);
std::string told(const JobDropped& body);
std::string told(const RunPlanned& body);
std::string told(const RunUnplanned& body);
std::string told(const SpareCounted& body);
std::string told(const FitterHours& body);
std::string told(const FitterAway& body);
std::string told(const PlaceRegistered& body);
std::string told(const SandMixed& body);
std::string told(const ShopCareChosen& body);
std::string told(const CatalogueWritten& body);

}  // namespace boxfettle::told_as
