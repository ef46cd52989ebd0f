#include "shop/box_search.hpp"

#include <gtest/gtest.h>

namespace boxfettle {
namespace {

BoxState box(const std::string& id, const std::string& name, const std::string& makes) {
  BoxState state;
  state.box = id;
  state.registered.emplace();
  state.registered->name = name;
  state.registered->makes = makes;
  state.place = {Place::Kind::bay, "Rack B, bay 3"};
  return state;
}

TEST(FindingABox, TakesAnyWordALabelOrWhatItMakes) {
  BoxIndex index;
  index.put(box("TM-0412", "Pump volute core", "Volute V12"));
  index.put(box("TM-0413", "Valve body", "Body K4"));
  BoxState with_piece = box("TM-0099", "Manifold", "Manifold M1");
  with_piece.kit["P-7"] = {{"P-7", "Port former", ""}, {}, 0, ""};
  index.put(with_piece);
  EXPECT_EQ(index.find("volute v12"), std::vector<std::string>{"TM-0412"});
  EXPECT_EQ(index.find("p-7"), std::vector<std::string>{"TM-0099"});
  EXPECT_EQ(index.find("tm-04"), (std::vector<std::string>{"TM-0412", "TM-0413"}));
  EXPECT_EQ(index.find("rack b bay"), (std::vector<std::string>{"TM-0099", "TM-0412", "TM-0413"}));
  EXPECT_TRUE(index.find("volute k4").empty());
}

TEST(FindingABox, FollowsItsMoves) {
  BoxIndex index;
  BoxState state = box("TM-0412", "Pump volute core", "Volute V12");
  index.put(state);
  state.place = {Place::Kind::tool_room, "bench 2"};
  index.put(state);
  EXPECT_TRUE(index.find("rack").empty());
  EXPECT_EQ(index.find("bench 2"), std::vector<std::string>{"TM-0412"});
}

}  // namespace
}  // namespace boxfettle
