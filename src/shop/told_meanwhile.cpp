#include "shop/told_meanwhile.hpp"

#include "shop/matters.hpp"

namespace boxfettle {
namespace {

bool rests_on_everything(const EntryBody& body) {
  return std::holds_alternative<Conceded>(body) || std::holds_alternative<SuspectsListed>(body);
}

Matters rests_on(const EntryBody& body) {
  if (rests_on_everything(body)) return ~Matters{};
  Matters matters = matters_of(body);
  if (std::holds_alternative<RunOpened>(body)) matters |= matters_of(FirstPiecesChosen{});
  matters.reset(static_cast<std::size_t>(Matter::shots));  // the highest count told is the same in any order
  return matters;
}

class Meanwhile {
 public:
  Meanwhile(const BoxState& state, const std::string& who, std::int64_t seen)
      : state_(state), who_(who), seen_(seen) {}

  void about(const EntryBody& body) {
    const Matters matters = rests_on(body);
    for (std::size_t i = 0; i < matters.size(); ++i)
      if (matters.test(i)) told(state_.changes[i].entry, state_.changes[i].who);
    if (rests_on_everything(body))
      for (const auto& [checkpoint, last] : state_.results) told(last.entry, last.who);
    if (const auto* inspected = std::get_if<Inspected>(&body))
      for (const CheckpointResult& result : inspected->results) about_checkpoint(result.checkpoint);
  }

  // The latest of what others told; entry 0: nothing.
  const LastChange& latest() const { return latest_; }

 private:
  void about_checkpoint(const std::string& id) {
    if (const auto last = state_.results.find(id); last != state_.results.end())
      told(last->second.entry, last->second.who);
  }
  void told(std::int64_t entry, const std::string& by) {
    if (entry > seen_ && by != who_ && entry > latest_.entry) latest_ = {entry, by};
  }

  const BoxState& state_;
  const std::string& who_;
  std::int64_t seen_;
  LastChange latest_;
};

}  // namespace

std::optional<Refusal> told_meanwhile(const BoxState& state, std::span<const EntryBody> bodies,
                                      const std::string& who, std::int64_t seen) {
  Meanwhile meanwhile(state, who, seen);
  for (const EntryBody& body : bodies) meanwhile.about(body);
  if (meanwhile.latest().entry == 0) return std::nullopt;
  return Refusal{meanwhile.latest().who + " told of the same (entry " +
                     std::to_string(meanwhile.latest().entry) + ") after your tablet last heard of this box.",
                 "Load the box's page, see what was told, and tell yours again if it still stands."};
}

}  // namespace boxfettle
