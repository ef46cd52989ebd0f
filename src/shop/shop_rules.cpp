// The rules for what concerns the whole shop.
#include <algorithm>
#include <set>

#include "input/input_error.hpp"
#include "shop/fault_network.hpp"
#include "shop/rules.hpp"

namespace boxfettle {
namespace {

std::optional<Refusal> may_tell(const Person& person, const EntryBody& body) {
  if (std::holds_alternative<SpareCounted>(body))
    return only_for(person, {Role::fitter, Role::tooling}, "count spares");
  if (std::holds_alternative<FitterHours>(body) || std::holds_alternative<FitterAway>(body))
    return only_for(person, {Role::supervisor, Role::tooling}, "set the tool-room's hours");
  if (std::holds_alternative<PlaceRegistered>(body))
    return only_for(person, {Role::supervisor, Role::tooling}, "give labels to places");
  if (std::holds_alternative<SandMixed>(body))
    return only_for(person, {Role::supervisor, Role::quality, Role::tooling}, "register sand mixes");
  if (std::holds_alternative<LearningReset>(body))
    return only_for(person, {Role::quality, Role::tooling}, "set back what was learnt");
  return only_for(person, {Role::quality, Role::tooling}, "change the shop's rules");
}

std::optional<Refusal> nonsense(const EntryBody& body) {
  if (const auto* chosen = std::get_if<ShopCareChosen>(&body)) return no_way_to_care(chosen->care);
  if (const auto* away = std::get_if<FitterAway>(&body))
    return away->to <= away->from
               ? std::optional(Refusal{"They are back before they leave.", "Give the later time last."})
               : std::nullopt;
  const auto* hours = std::get_if<FitterHours>(&body);
  if (hours == nullptr || hours->to_minute == 0) return std::nullopt;
  if (hours->from_minute >= hours->to_minute || hours->to_minute > 24 * 60)
    return Refusal{"The day ends before it begins, or after midnight.", "Give the hours within one day."};
  if (hours->weekdays.empty()) return Refusal{"On no day of the week?", "Choose the days worked."};
  return std::nullopt;
}

// Reads the catalogue as the inspection will, so that nobody writes one that cannot be followed, and its
// version grows.
void check_catalogue(const EntryBody& body, const ShopState& shop) {
  const auto* written = std::get_if<CatalogueWritten>(&body);
  if (written == nullptr) return;
  const Catalogue read = parse_catalogue(written->toml, "");
  const int before =
      shop.catalogue ? parse_catalogue(shop.catalogue->toml, "").version : shipped_catalogue().version;
  if (read.version <= before)
    throw InputError("", "version",
                     "is " + std::to_string(read.version) + " and was " + std::to_string(before),
                     "raise it: every inspection writes down which version it followed");
}

void check_fault(const EntryBody& body) {
  const auto* reset = std::get_if<LearningReset>(&body);
  if (reset != nullptr && !reset->fault.empty() && !shipped_faults().fault_named(reset->fault))
    throw InputError("", "fault", "'" + reset->fault + "' is no fault of the diagnosis",
                     "choose from the list, or leave it out to set back all of them");
}

}  // namespace

std::optional<Refusal> only_for(const Person& person, std::initializer_list<Role> roles,
                                const std::string& doing) {
  if (std::find(roles.begin(), roles.end(), person.role) != roles.end()) return std::nullopt;
  std::string who;
  for (std::size_t i = 0; i < roles.size(); ++i)
    who += (i == 0 ? "" : i + 1 == roles.size() ? " or " : ", ") + std::string(name(roles.begin()[i]));
  return Refusal{"Your role (" + std::string(name(person.role)) + ") cannot " + doing + ".",
                 "Ask " + who + " to do it."};
}

std::optional<Refusal> no_way_to_care(const std::vector<CareRule>& care) {
  std::set<std::string> ids;
  for (const CareRule& rule : care) {
    if (never_due(rule))
      return Refusal{"'" + rule.title + "' would never fall due.",
                     "Give minutes, shots or days, or say that it belongs to each core."};
    if (!ids.insert(rule.id).second)
      return Refusal{"'" + rule.title + "' goes by the same id as another rule ('" + rule.id + "').",
                     "Give each rule an id of its own."};
  }
  return std::nullopt;
}

Answer decide_for_shop(const Request& request, const Person& person, const ShopState& shop) {
  check_sender(person.name, request.id, request.box);
  if (shop.requests.contains(request.id)) return std::vector<EntryBody>{};
  const auto* told = std::get_if<Tell>(&request.what);
  if (told == nullptr || !of_whole_shop(told->body))
    throw InputError("", "kind", "is about a box, not about the whole shop", "send it to its box");
  if (auto refusal = may_tell(person, told->body)) return *refusal;
  if (auto refusal = nonsense(told->body)) return *refusal;
  check_body(told->body);
  check_catalogue(told->body, shop);
  check_fault(told->body);
  return std::vector<EntryBody>{told->body};
}

}  // namespace boxfettle
