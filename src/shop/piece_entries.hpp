// What the logbook tells of the parts of a box: components fitted to it, and loose pieces that go their own
// ways between runs.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "shop/place.hpp"

namespace boxfettle {

// A part that stays on the box and wears. Told again under the same id it replaces what was told before.
struct ComponentFitted {
  static constexpr std::string_view kind = "component-fitted";
  enum class What { dowel, bush, vent, clamp, handle, ejector, seal, blow_tube, other };
  std::string component;  // its id on this box: "D1", "V3"
  What what = What::other;
  std::string half;   // "upper", "lower", or empty
  std::string words;  // "hardened pin, 12 mm"
  std::string spare;  // what the tool-room stocks for it; empty when nothing
  std::string why;    // "worn out", "new box"; empty when it was only listed
  bool operator==(const ComponentFitted&) const = default;
};

struct PieceRegistered {
  static constexpr std::string_view kind = "piece-registered";
  std::string piece;  // what is marked on it, the label's code: "TM-0412-A"
  std::string name;   // "Port former"
  std::string home;   // where it lies between runs: "Rack B, bay 3, tray"
  bool operator==(const PieceRegistered&) const = default;
};

struct PieceMoved {
  static constexpr std::string_view kind = "piece-moved";
  std::string piece;
  Place to;
  bool operator==(const PieceMoved&) const = default;
};

struct PieceRetired {
  static constexpr std::string_view kind = "piece-retired";
  std::string piece;
  std::string why;
  bool operator==(const PieceRetired&) const = default;
};

// A drawing, a tooling sheet, a picture: kept by its content, called by its name. Told again under the same name
// it replaces what was there.
struct FileFiled {
  static constexpr std::string_view kind = "file-filed";
  std::string name;   // "TM-0412 tooling sheet.pdf"
  std::string file;   // its content hash
  std::string words;  // what it is
  bool operator==(const FileFiled&) const = default;
};

// A stock-take of a rack met this box (or one of its pieces), or did not.
struct StockTaken {
  static constexpr std::string_view kind = "stock-taken";
  enum class Outcome { found, strayed, missing };
  std::string rack;   // "Rack B"
  std::string piece;  // empty: the box itself
  Outcome outcome = Outcome::found;
  Place seen;  // where it lay; for a missing one, where it should have been
  bool operator==(const StockTaken&) const = default;
};

}  // namespace boxfettle
