#include "shop/stock_take.hpp"

#include <map>

namespace boxfettle {
namespace {

struct Known {
  std::string box, piece;
  Place place;
};

// "Rack B" has "Rack B, bay 3" and not "Rack B2".
bool in_rack(const Place& place, const std::string& rack) {
  if (place.kind != Place::Kind::bay || !place.text.starts_with(rack)) return false;
  return place.text.size() == rack.size() || place.text[rack.size()] == ',' || place.text[rack.size()] == ' ';
}

std::map<std::string, Known> by_label(std::span<const std::shared_ptr<const BoxState>> boxes) {
  std::map<std::string, Known> known;
  for (const auto& box : boxes) {
    known[box->box] = {box->box, "", box->place};
    for (const auto& [label, piece] : box->kit) known[label] = {box->box, label, piece.place};
  }
  return known;
}

}  // namespace

StockTake stock_take(const std::string& rack, std::span<const LabelRead> read,
                     std::span<const std::shared_ptr<const BoxState>> boxes) {
  StockTake taken;
  std::map<std::string, Place> seen;
  for (const LabelRead& label : read) seen[label.code] = label.at;
  const std::map<std::string, Known> known = by_label(boxes);
  for (const auto& [label, thing] : known) {
    if (!in_rack(thing.place, rack)) continue;
    const auto found = seen.find(label);
    const auto outcome = found == seen.end()            ? StockTaken::Outcome::missing
                         : found->second == thing.place ? StockTaken::Outcome::found
                                                        : StockTaken::Outcome::strayed;
    taken.lines.push_back(
        {thing.box, {rack, thing.piece, outcome, found == seen.end() ? thing.place : found->second}});
  }
  for (const auto& [label, at] : seen) {
    const auto thing = known.find(label);
    if (thing == known.end())
      taken.unknown.push_back(label);
    else if (!in_rack(thing->second.place, rack))
      taken.lines.push_back(
          {thing->second.box, {rack, thing->second.piece, StockTaken::Outcome::strayed, at}});
  }
  return taken;
}

}  // namespace boxfettle
