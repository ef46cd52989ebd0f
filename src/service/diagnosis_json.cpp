#include "service/diagnosis_json.hpp"

#include <algorithm>

#include "shop/entry_json.hpp"

namespace boxfettle {
namespace {

using nlohmann::json;

constexpr std::size_t most_confirmed = 20;

json named(const FaultNetwork& network, std::size_t finding) {
  const Observable& known = network.findings[finding];
  return {{"finding", known.id}, {"called", known.called}, {"checkpoint", known.is_checkpoint()}};
}

json evidence_json(const FaultNetwork& network, const FaultEvidence& one) {
  json told = named(network, one.finding);
  told["seen"] = one.seen;
  told["by"] = name(one.by);
  told["text"] = one.text;
  told["entry"] = one.entry;
  told["at"] = one.at.iso();
  return told;
}

json fault_json(const FaultNetwork& network, const FaultInDoubt& doubt) {
  json told{{"id", network.faults[doubt.fault].id},
            {"title", network.faults[doubt.fault].title},
            {"probability", doubt.probability},
            {"before", doubt.before},
            {"explains", json::array()},
            {"weighed", json::array()}};
  for (const std::size_t finding : doubt.explains) told["explains"].push_back(named(network, finding));
  for (const WeighedFinding& weighed : doubt.weighed) {
    json one = named(network, weighed.finding);
    one["seen"] = weighed.seen;
    one["without"] = weighed.without;
    told["weighed"].push_back(std::move(one));
  }
  return told;
}

json check_json(const FaultNetwork& network, const Catalogue& catalogue, const NextCheck& check) {
  const Observable& finding = network.findings[check.finding];
  json told{{"checkpoint", finding.id},
            {"called", finding.called},
            {"minutes", check.minutes},
            {"information_bits", std::max(0.0, check.information_bits)},
            {"fails_probability", check.fails_probability},
            {"fault", network.faults[check.fault].title},
            {"fault_now", check.fault_now},
            {"fault_if_failed", check.fault_if_failed},
            {"sentence", sentence(network, check)}};
  if (const Checkpoint* point = catalogue.find(finding.id); point != nullptr && !point->caution.empty())
    told["caution"] = point->caution;
  return told;
}

json confirmed_json(const FaultNetwork& network, const ConfirmedCause& known) {
  json told = body_json(known.cause);
  const auto fault = network.fault_named(known.cause.fault);
  told["title"] = fault ? network.faults[*fault].title : known.cause.fault;
  told["entry"] = known.entry;
  told["at"] = known.at.iso();
  return told;
}

json chance_json(const LearntChance& chance) {
  return {{"shipped", chance.shipped}, {"now", chance.now()}, {"yes", chance.yes}, {"no", chance.no}};
}

json learnt_json(const FaultNetwork& network, std::size_t i, const LearntFault& learnt) {
  json links = json::array();
  for (std::size_t k = 0; k < learnt.links.size(); ++k) {
    json link = named(network, network.faults[i].links[k].finding);
    link["strength"] = chance_json(learnt.links[k]);
    links.push_back(std::move(link));
  }
  return {{"id", network.faults[i].id},
          {"title", network.faults[i].title},
          {"prior", chance_json(learnt.prior)},
          {"links", std::move(links)}};
}

void put_answer(json& told, const BoxDiagnosis& answer, const FaultNetwork& network,
                const Catalogue& catalogue) {
  for (const FaultInDoubt& fault : answer.faults) told["faults"].push_back(fault_json(network, fault));
  for (const NextCheck& check : answer.checks)
    told["checks"].push_back(check_json(network, catalogue, check));
}

}  // namespace

json diagnosis_json(const BoxState& box, const ShopLearning& learning, const Catalogue& catalogue,
                    UtcTime now) {
  const FaultNetwork& network = learning.network;
  const PresentDoubt doubt = present_doubt(box, network, now);
  json told{{"origin", network.origin},  {"causes_learnt", learning.causes.size()},
            {"evidence", json::array()}, {"faults", json::array()},
            {"checks", json::array()},   {"confirmed", json::array()}};
  if (doubt.since) told["since"] = doubt.since->iso();
  for (const FaultEvidence& one : doubt.evidence) told["evidence"].push_back(evidence_json(network, one));
  const auto answer = diagnose_box(doubt, network, catalogue);
  if (answer)
    put_answer(told, *answer, network, catalogue);
  else
    told["why_not"] = "More than " + std::to_string(most_things_wrong) +
                      " things are wrong at once: nothing can be told apart. Mend what is plain to see, then "
                      "confirm its cause.";
  const auto& causes = box.suspects.causes;
  for (auto known = causes.rbegin(); known != causes.rend() && told["confirmed"].size() < most_confirmed;
       ++known)
    told["confirmed"].push_back(confirmed_json(network, *known));
  return told;
}

json learning_json(const ShopLearning& learning) {
  json told{{"origin", learning.network.origin},
            {"shipped_counts_as", shipped_counts_as},
            {"causes", learning.causes.size()},
            {"faults", json::array()}};
  for (std::size_t i = 0; i < learning.faults.size(); ++i)
    told["faults"].push_back(learnt_json(learning.network, i, learning.faults[i]));
  return told;
}

}  // namespace boxfettle
