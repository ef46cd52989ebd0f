#include "shop/entry_fields.hpp"
#include "shop/sentence.hpp"
#include "shop/told.hpp"

namespace boxfettle::told_as {

std::string words(const Place& place) {
  const std::string beside = in_brackets(place.text);
  switch (place.kind) {
    case Place::Kind::bay:
      return place.text.empty() ? "its bay" : place.text;
    case Place::Kind::station:
      return place.text.empty() ? "the core station" : place.text;
    case Place::Kind::tool_room:
      return "the tool-room" + beside;
    case Place::Kind::outside_shop:
      return "an outside shop" + beside;
    case Place::Kind::missing:
      return "nobody knows where" + beside;
  }
  return place.text;
}

std::string told(const Computed& body) {
  return "Computed for the " + body.what + ": " + ended(body.text);
}
std::string told(const ComponentFitted& body) {
  const std::string what(component_names[static_cast<std::size_t>(body.what)]);
  return (body.why.empty() ? "Listed " : "Fitted ") + what + " " + body.component +
         (body.half.empty() ? "" : " in the " + body.half + " half") + in_brackets(body.words) +
         (body.why.empty() ? "." : ": " + ended(body.why));
}
std::string told(const PieceRegistered& body) {
  return "Loose piece " + body.piece + " registered: " + body.name +
         (body.home.empty() ? "." : ", at home in " + body.home + ".");
}
std::string told(const PieceMoved& body) {
  if (body.to.kind == Place::Kind::missing)
    return "Loose piece " + body.piece + " is missing" + in_brackets(body.to.text) + ".";
  return "Loose piece " + body.piece + " moved to " + words(body.to) + ".";
}
std::string told(const PieceRetired& body) {
  return "Loose piece " + body.piece + " no longer belongs to the box: " + ended(body.why);
}
std::string told(const FileFiled& body) {
  return "Filed: " + body.name + in_brackets(body.words) + ".";
}
std::string told(const StockTaken& body) {
  const std::string what = body.piece.empty() ? "the box" : "loose piece " + body.piece;
  const std::string head = "Stock-take of " + body.rack + ": " + what;
  if (body.outcome == StockTaken::Outcome::found) return head + " found in " + words(body.seen) + ".";
  if (body.outcome == StockTaken::Outcome::strayed) return head + " strayed to " + words(body.seen) + ".";
  return head + " is missing from " + words(body.seen) + ".";
}
std::string told(const Conceded& body) {
  return "May run in spite of " + count_of(body.holds.size(), "reason") + " to hold it, until " +
         body.until.date() + " or for " + std::to_string(body.shots) + " shots: " + ended(body.why);
}
std::string told(const Quarantined& body) {
  return "In quarantine: " + ended(body.why);
}
std::string told(const QuarantineLifted& body) {
  return "Out of quarantine: " + ended(body.why);
}
std::string told(const Scrapped& body) {
  return "Scrapped: " + ended(body.why);
}

}  // namespace boxfettle::told_as
