#include "paper/venting_words.hpp"

namespace boxfettle {
namespace {

constexpr const char* silica =
    "Sand dust holds silica that is breathed in: extract it, do not blow it about.";
constexpr const char* estimate_only =
    "Estimate only, no safety function: the machine maker's instructions, local codes and a competent person "
    "decide.";

}  // namespace

std::string what_blowing_is() {
  return "What this is: magazine, tubes, cavity, vents and parting gap as vessels and openings, for "
         "comparing "
         "states of one box. What it is not: a simulation of the sand's motion. Vents count until the box is "
         "full, though sand covers them sooner.";
}

std::string what_venting_is() {
  return "What this is: the steady flow of gas through the packed core and a level front of sand, for "
         "comparing "
         "states of one box and finding places that are hard to reach. What it is not: a simulation of the "
         "sand's motion, of the binder's chemistry or of the first instants of gassing.";
}

std::vector<std::string> blowing_cautions() {
  return {
      "Compressed air and flying sand blind: shut guards, wear eye protection, never blow at people; let the "
      "pressure go before a box or magazine is opened.",
      "A partly plugged or open box can throw sand out at the parting face and move when clamps are weak. "
      "Lock out before hands go in.",
      "Sand dust holds silica that is breathed in: extract it, do not blow it about.",
      "Estimate only, no safety function: the machine maker's instructions, local codes and a competent "
      "person decide."};
}

std::vector<std::string> venting_cautions() {
  return {
      "Amine vapour (triethylamine is CAS 121-44-8) is poisonous and catches fire: gas only with exhaust and "
      "scrubber running. A leak at the parting face or an unpurged place may release amine: measure, do not "
      "reckon.",
      "No figure here says that a core or a room is free of amine. Exposure limits, purge times and ignition "
      "protection follow the supplier's sheet and local rules.",
      "Compressed air and flying sand blind when vents are blown out: wear eye protection, limit the "
      "pressure, never at people.",
      silica, estimate_only};
}

}  // namespace boxfettle
