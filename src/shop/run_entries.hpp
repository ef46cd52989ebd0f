// What the logbook tells of a run: from setting the box on its station to counting what it made.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/care.hpp"

namespace boxfettle {

struct RunOpened {
  static constexpr std::string_view kind = "run-opened";
  std::string run;  // its number: "TM-0412/17" is the box's 17th
  std::string station;
  std::string order;
  std::string batch;  // what is written on the labels of the cores
  std::string sand;   // the sand mix
  std::int64_t planned = 0;
  std::vector<std::string> pieces;      // loose pieces confirmed in the box by their labels
  std::vector<CareRule> care;           // the rules this run follows, as they stood
  std::int64_t first_pieces = 5;        // so many good ones in a row before the count runs on
  std::vector<std::string> to_measure;  // on each first piece
  bool operator==(const RunOpened&) const = default;
};

struct FirstPieceLooked {
  static constexpr std::string_view kind = "first-piece";
  struct Measured {
    std::string characteristic;
    double value = 0;
    std::string unit;
    bool passed = false;
    bool operator==(const Measured&) const = default;
  };
  std::string run;
  std::int64_t number = 0;  // 1, 2, 3, ... in the order they were looked at
  bool passed = false;
  std::vector<Measured> measured;
  std::string remark;
  bool operator==(const FirstPieceLooked&) const = default;
};

struct CareDone {
  static constexpr std::string_view kind = "care-done";
  std::string run;
  std::string care;        // the rule's id
  std::int64_t shots = 0;  // of the run, when it was done
  std::string remark;
  bool operator==(const CareDone&) const = default;
};

struct RunPaused {
  static constexpr std::string_view kind = "run-paused";
  std::string run;
  std::string why;
  bool operator==(const RunPaused&) const = default;
};

struct RunResumed {
  static constexpr std::string_view kind = "run-resumed";
  std::string run;
  bool operator==(const RunResumed&) const = default;
};

struct HandedOver {  // from one shift to the next, the run goes on
  static constexpr std::string_view kind = "handed-over";
  std::string run;
  std::string to;          // who takes it
  std::int64_t shots = 0;  // of the run so far
  std::string remark;
  bool operator==(const HandedOver&) const = default;
};

struct RunClosed {
  static constexpr std::string_view kind = "run-closed";
  enum class Condition { good, look_at_it, damaged };
  std::string run;
  std::int64_t made = 0;
  std::int64_t bad = 0;  // of those made
  Condition condition = Condition::good;
  std::vector<std::string> pieces;  // loose pieces back in their place, by label
  std::string went_to;              // where the cores went
  std::string remark;
  bool operator==(const RunClosed&) const = default;
};

// The care rules of this box from now on, in place of the shop's.
struct CareChosen {
  static constexpr std::string_view kind = "care-chosen";
  std::vector<CareRule> care;  // empty: the shop's again
  std::string why;
  bool operator==(const CareChosen&) const = default;
};

// What the first pieces of this box's runs are asked for.
struct FirstPiecesChosen {
  static constexpr std::string_view kind = "first-pieces-chosen";
  std::int64_t count = 5;
  std::vector<std::string> to_measure;
  bool operator==(const FirstPiecesChosen&) const = default;
};

}  // namespace boxfettle
