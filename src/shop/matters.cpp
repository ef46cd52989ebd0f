#include "shop/matters.hpp"

#include <initializer_list>

namespace boxfettle {
namespace {

Matters all(std::initializer_list<Matter> named) {
  Matters matters;
  for (const Matter one : named) matters.set(static_cast<std::size_t>(one));
  return matters;
}

template <class Body>
Matters changed_by(const Body&) {
  return {};
}
Matters changed_by(const BoxRegistered&) {
  return all({Matter::particulars, Matter::place});  // its home is its place until it is moved
}
Matters changed_by(const CareChosen&) {
  return all({Matter::particulars});
}
Matters changed_by(const FirstPiecesChosen&) {
  return all({Matter::particulars});
}
Matters changed_by(const Moved&) {
  return all({Matter::place});
}
Matters changed_by(const StockTaken& body) {
  return all({body.piece.empty() ? Matter::place : Matter::pieces});
}
Matters changed_by(const ScanRead&) {
  return all({Matter::scan});
}
Matters changed_by(const Computed&) {
  return all({Matter::figures});
}
Matters changed_by(const Held&) {
  return all({Matter::holds});
}
Matters changed_by(const Released&) {
  return all({Matter::holds});
}
Matters changed_by(const Conceded&) {
  return all({Matter::holds});
}
Matters changed_by(const Quarantined&) {
  return all({Matter::holds});
}
Matters changed_by(const QuarantineLifted&) {
  return all({Matter::holds});
}
Matters changed_by(const Scrapped&) {
  return all({Matter::holds});
}
Matters changed_by(const PieceRegistered&) {
  return all({Matter::pieces});
}
Matters changed_by(const PieceMoved&) {
  return all({Matter::pieces});
}
Matters changed_by(const PieceRetired&) {
  return all({Matter::pieces});
}
Matters changed_by(const RunOpened&) {
  return all({Matter::run, Matter::place, Matter::pieces});
}
Matters changed_by(const RunClosed&) {
  return all({Matter::run, Matter::pieces});
}
Matters changed_by(const FirstPieceLooked&) {
  return all({Matter::first_pieces});
}
Matters changed_by(const CareDone&) {
  return all({Matter::shots});
}
Matters changed_by(const HandedOver&) {
  return all({Matter::shots});
}
Matters changed_by(const SuspectsListed&) {
  return all({Matter::suspects});
}

}  // namespace

Matters matters_of(const EntryBody& body) {
  return std::visit([](const auto& told) { return changed_by(told); }, body);
}

}  // namespace boxfettle
