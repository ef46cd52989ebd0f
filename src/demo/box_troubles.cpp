#include "demo/box_troubles.hpp"

#include <array>
#include <stdexcept>

namespace boxfettle::demo {
namespace {

constexpr Trouble worn_bushes{
    "dowels", 0.24, "left bush bell-mouthed", "Bush renewed, shift 0.03 mm now.", "fitting", 3, "U1", 1};
constexpr Trouble handle_loose{"handles",
                               {},
                               "left handle of the upper half turns on its stud, thread stripped",
                               "Insert fitted in the stripped thread, handle screwed down with a new stud.",
                               "fitting",
                               2,
                               "H1",
                               1};
constexpr Trouble vents_torn{"vents",
                             3.0,
                             "three slotted vents torn at the far end",
                             "Three vents renewed, set flush.",
                             "fitting",
                             1.5,
                             "V3",
                             3};
constexpr Trouble binder_baked_on{
    "cavity",   {}, "binder baked on round the print, comes off only in part", "Soaked and brushed clean.",
    "cleaning", 2};
constexpr Trouble piece_not_seated{"loose-pieces",
                                   2.0,
                                   "the drain boss former rocks in its seat and stands 1 mm proud",
                                   "Seat cleaned and former re-bedded.",
                                   "fitting",
                                   4};
constexpr Trouble open_without_clamps{"closure-free",
                                      0.24,
                                      "front corner stands open by its own weight, closes when clamped",
                                      "Front corner scraped in.",
                                      "scraping",
                                      5};
constexpr Trouble open_with_clamps{
    "closure-clamped",         0.22,       "rear corner stays open 0.22 mm when clamped",
    "Rear corner scraped in.", "scraping", 6};
constexpr Trouble seal_cut{"seals", {}, "seal cut at the gassing plate", "Seal renewed.", "fitting", 1,
                           "S1",    1};

constexpr std::array ordinary{
    worn_bushes,
    vents_torn,
    binder_baked_on,
    Trouble{"parting-face",
            {},
            "dent beside the print, about 0.3 mm high",
            "Dent dressed flush with a stone.",
            "scraping",
            1.5},
    Trouble{"closure-free", 0.30, "sand stuck under the rear corner",
            "Corner cleaned, leaf of 0.05 mm no longer goes in.", "cleaning", 0.5},
    seal_cut,
    Trouble{"vents", 2.0, "two vents plugged with fines", "Vents cleaned.", "cleaning", 0.5},
    Trouble{"clamps",
            {},
            "toggle at the rear does not snap over",
            "Toggle link renewed and set.",
            "fitting",
            1,
            "C2",
            1},
    handle_loose,
};

}  // namespace

std::span<const Trouble> ordinary_troubles() {
  return ordinary;
}

const Trouble& trouble_at_the_end(Ending ending) {
  switch (ending) {
    case Ending::springs_open:
      return open_without_clamps;
    case Ending::conceded:
      return open_with_clamps;
    case Ending::wrong_piece:
      return piece_not_seated;
    case Ending::loose_handle:
      return handle_loose;
    case Ending::torn_vents:
      return vents_torn;
    case Ending::baked_on:
      return binder_baked_on;
    case Ending::at_the_tool_room:
      return worn_bushes;
    case Ending::suspects:
      return seal_cut;
    default:
      throw std::logic_error("a box that ends without trouble has none");
  }
}

}  // namespace boxfettle::demo
