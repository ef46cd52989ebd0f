#include "shop/kit.hpp"

#include <algorithm>

namespace boxfettle {
namespace {

void put(Kit& kit, const std::string& label, const Place& place, std::int64_t entry) {
  const auto piece = kit.find(label);
  if (piece == kit.end()) return;
  piece->second.place = place;
  piece->second.place_entry = entry;
}

bool has(const std::vector<std::string>& labels, const std::string& label) {
  return std::find(labels.begin(), labels.end(), label) != labels.end();
}

}  // namespace

void tell(Kit& kit, const Entry&, const PieceRegistered& body) {
  KitPiece& piece = kit[body.piece];
  piece.registered = body;
  if (piece.place_entry != 0) return;
  piece.place = {Place::Kind::bay, body.home};
}

void tell(Kit& kit, const Entry& entry, const PieceMoved& body) {
  put(kit, body.piece, body.to, entry.seq);
}

void tell(Kit& kit, const Entry&, const PieceRetired& body) {
  kit.erase(body.piece);
}

void tell(Kit& kit, const Entry& entry, const StockTaken& body) {
  if (body.piece.empty()) return;
  const Place lost{Place::Kind::missing, body.seen.text};
  put(kit, body.piece, body.outcome == StockTaken::Outcome::missing ? lost : body.seen, entry.seq);
}

void tell(Kit& kit, const Entry& entry, const RunOpened& body) {
  for (auto& [label, piece] : kit) {
    if (!has(body.pieces, label)) continue;
    piece.last_run = body.run;
    piece.place = {Place::Kind::station, body.station};
    piece.place_entry = entry.seq;
  }
}

void tell(Kit& kit, const Entry& entry, const RunClosed& body) {
  for (auto& [label, piece] : kit) {
    if (piece.last_run != body.run || piece.place.kind != Place::Kind::station) continue;
    piece.place = has(body.pieces, label) ? Place{Place::Kind::bay, piece.registered.home}
                                          : Place{Place::Kind::missing, "not back from run " + body.run};
    piece.place_entry = entry.seq;
  }
}

std::vector<std::string> missing_pieces(const Kit& kit) {
  std::vector<std::string> labels;
  for (const auto& [label, piece] : kit)
    if (piece.place.kind == Place::Kind::missing) labels.push_back(label);
  return labels;
}

}  // namespace boxfettle
