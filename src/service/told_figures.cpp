#include "service/told_figures.hpp"

#include "shop/content_hash.hpp"

namespace boxfettle {

bool worth_telling(const Computed& figure, const BoxState& state) {
  const auto before = state.computed.find(figure.what);
  if (before == state.computed.end()) return figure.verdict != Computed::Verdict::fit;
  const Computed& last = before->second.computed;
  if (figure.verdict == Computed::Verdict::fit) return last.verdict != Computed::Verdict::fit;
  return figure != last;
}

void tell_figures(std::span<const Computed> figures, const std::string& box, const std::string& cause,
                  const Person& person, LiveShop& shop, UtcTime now) {
  const auto state = shop.box(box);
  for (const Computed& figure : figures) {
    if (!worth_telling(figure, *state)) continue;
    const std::string request = "computed-" + content_hash(cause + "\n" + figure.what).hex().substr(0, 32);
    shop.carry_out({request, box, Tell{figure}}, person, now);
  }
}

}  // namespace boxfettle
