#include "shop/shop_state.hpp"

#include <algorithm>
#include <array>

namespace boxfettle {
namespace {

void tell(ShopState& state, const Entry& entry, const SpareCounted& body) {
  state.spares[body.spare] = {body, entry.seq};
}
void tell(ShopState& state, const Entry&, const FitterHours& body) {
  if (body.to_minute == 0)
    state.fitters.erase(body.fitter);
  else
    state.fitters[body.fitter] = body;
}
void tell(ShopState& state, const Entry&, const FitterAway& body) {
  state.away.push_back(body);
}
void tell(ShopState& state, const Entry&, const PlaceRegistered& body) {
  state.places[body.label] = body;
}
void tell(ShopState& state, const Entry&, const SandMixed& body) {
  state.sands[body.mix] = body;
}
void tell(ShopState& state, const Entry&, const ShopCareChosen& body) {
  std::erase_if(state.care, [&](const ShopCareChosen& known) {
    return known.process == body.process && known.months == body.months;
  });
  if (!body.care.empty()) state.care.push_back(body);
}
void tell(ShopState& state, const Entry&, const CatalogueWritten& body) {
  state.catalogue = body;
}
void tell(ShopState& state, const Entry& entry, const LearningReset& body) {
  state.learning_resets[body.fault] = entry.seq;
}

// How closely rules made for (process, months) fit; 0: not at all.
int fitting(const std::string& process, const std::vector<std::int64_t>& months, const std::string& wanted,
            std::int64_t month) {
  const bool in_season = months.empty() || std::find(months.begin(), months.end(), month) != months.end();
  if (!in_season || (!process.empty() && process != wanted)) return 0;
  return 1 + (process.empty() ? 0 : 2) + (months.empty() ? 0 : 1);
}

// The closest of the rule sets; null when none fits.
template <class Rules>
const Rules* closest(const std::vector<Rules>& sets, const std::string& process, std::int64_t month) {
  const Rules* best = nullptr;
  int best_fitting = 0;
  for (const Rules& set : sets) {
    const int fits = fitting(set.process, set.months, process, month);
    if (fits <= best_fitting) continue;
    best = &set;
    best_fitting = fits;
  }
  return best;
}

}  // namespace

void fold(ShopState& state, const Entry& entry) {
  if (entry.box != whole_shop) return;
  std::visit(
      [&](const auto& body) {
        if constexpr (requires { tell(state, entry, body); }) tell(state, entry, body);
      },
      entry.body);
  state.requests.insert(entry.request);
  state.last_entry = entry.seq;
}

ShopState replay_shop(std::span<const Entry> entries) {
  ShopState state;
  for (const Entry& entry : entries) fold(state, entry);
  return state;
}

std::string_view name(CareInForce::From from) {
  constexpr std::array<std::string_view, 3> names{"box", "shop", "shipped"};
  return names[static_cast<std::size_t>(from)];
}

std::int64_t month_of(UtcTime at) {
  const auto days = std::chrono::floor<std::chrono::days>(std::chrono::milliseconds(at.ms_since_epoch));
  return static_cast<unsigned>(std::chrono::year_month_day(std::chrono::sys_days(days)).month());
}

CareInForce care_in_force(const std::vector<CareRule>& of_box, const std::vector<ShopCareChosen>& of_shop,
                          const std::string& process, std::int64_t month) {
  using From = CareInForce::From;
  if (!of_box.empty()) return {From::box, of_box, {}};
  if (const auto* chosen = closest(of_shop, process, month)) return {From::shop, chosen->care, *chosen};
  const auto* shipped = closest(shipped_care(), process, month);
  return {From::shipped, shipped == nullptr ? std::vector<CareRule>{} : shipped->care, {}};
}

}  // namespace boxfettle
