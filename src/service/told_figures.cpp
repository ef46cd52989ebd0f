#include "service/told_figures.hpp"

#include "shop/content_hash.hpp"

namespace boxfettle {

bool worth_telling(const Computed& figure, const BoxState& state) {
  if (figure.verdict != Computed::Verdict::fit) return true;
  const auto before = state.computed.find(figure.what);
  return before != state.computed.end() && before->second.computed.verdict != Computed::Verdict::fit;
}

void tell_figures(std::span<const Computed> figures, const std::string& box, const std::string& cause,
                  const Person& person, LiveShop& shop, UtcTime now) {
  for (const Computed& figure : figures) {
    const std::string request =
        "computed-" + content_hash(cause + "\n" + figure.what).hex().substr(0, 32);
    shop.carry_out({request, box, Tell{figure}}, person, now);
  }
}

}  // namespace boxfettle
