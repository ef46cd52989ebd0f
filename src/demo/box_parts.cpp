#include "demo/box_parts.hpp"

#include <array>
#include <string_view>

namespace boxfettle::demo {
namespace {

using What = ComponentFitted::What;

struct Part {
  std::string_view id;
  What what;
  std::string_view half;
  std::string_view words;
  std::string_view spare;  // empty when the tool-room stocks none
};

constexpr std::array on_every_box{
    Part{"D1", What::dowel, "lower", "round pin, hardened, 12 mm", "PIN-12"},
    Part{"D2", What::dowel, "lower", "round pin, hardened, 12 mm", "PIN-12"},
    Part{"U1", What::bush, "upper", "round bush, 12 mm", "BUSH-12"},
    Part{"U2", What::bush, "upper", "slotted bush, 12 mm", "BUSH-12-SLOT"},
    Part{"V1", What::vent, "upper", "slotted vent, 6 mm", "VENT-6"},
    Part{"V2", What::vent, "upper", "slotted vent, 6 mm", "VENT-6"},
    Part{"V3", What::vent, "lower", "slotted vent, 6 mm", "VENT-6"},
    Part{"C1", What::clamp, "", "toggle at the front", "TOGGLE-LINK"},
    Part{"C2", What::clamp, "", "toggle at the rear", "TOGGLE-LINK"},
    Part{"H1", What::handle, "upper", "left handle on an M10 stud", "STUD-M10"},
    Part{"H2", What::handle, "upper", "right handle on an M10 stud", "STUD-M10"},
};

constexpr Part seal{"S1", What::seal, "upper", "cord seal at the gassing plate, 8 mm", "SEAL-CORD-8"};

constexpr std::array<std::string_view, 3> letters{"A", "B", "C"};
constexpr std::array<std::string_view, 3> piece_names{"Drain boss former", "Pressure tap former",
                                                      "Undercut slide"};

ComponentFitted fitted(const Part& part) {
  return {std::string(part.id),    part.what, std::string(part.half), std::string(part.words),
          std::string(part.spare), "new box"};
}

}  // namespace

std::vector<ComponentFitted> components_of(const ShopBox& box) {
  std::vector<ComponentFitted> components;
  for (const Part& part : on_every_box) components.push_back(fitted(part));
  if (cures_by_gas(box.process)) components.push_back(fitted(seal));
  return components;
}

std::vector<std::string> piece_labels(const ShopBox& box) {
  std::vector<std::string> labels;
  for (int i = 0; i < box.loose_pieces; ++i)
    labels.push_back(std::string(box.id) + "-" + std::string(letters[static_cast<std::size_t>(i)]));
  return labels;
}

std::vector<PieceRegistered> pieces_of(const ShopBox& box) {
  std::vector<PieceRegistered> pieces;
  for (const std::string& label : piece_labels(box))
    pieces.push_back(
        {label, std::string(piece_names[pieces.size()]), std::string(box.home_place) + ", tray"});
  return pieces;
}

}  // namespace boxfettle::demo
