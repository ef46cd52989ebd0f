#include "shop/stock_take.hpp"

#include <gtest/gtest.h>

namespace boxfettle {
namespace {

std::shared_ptr<const BoxState> box_in(const std::string& id, const std::string& place) {
  auto box = std::make_shared<BoxState>();
  box->box = id;
  box->registered.emplace();
  box->place = {Place::Kind::bay, place};
  return box;
}

const StockLine* line_of(const StockTake& taken, const std::string& box) {
  for (const StockLine& line : taken.lines)
    if (line.box == box && line.taken.piece.empty()) return &line;
  return nullptr;
}

TEST(StockTake, TellsFoundStrayedAndMissing) {
  const std::vector boxes{box_in("TM-1", "Rack B, bay 1"), box_in("TM-2", "Rack B, bay 2"),
                          box_in("TM-3", "Rack B, bay 3"), box_in("TM-4", "Rack A, bay 1"),
                          box_in("TM-5", "Rack B2, bay 1")};
  const Place bay1{Place::Kind::bay, "Rack B, bay 1"}, bay4{Place::Kind::bay, "Rack B, bay 4"};
  const std::vector<LabelRead> read{{"TM-1", bay1}, {"TM-2", bay4}, {"TM-4", bay4}, {"XX-9", bay1}};
  const StockTake taken = stock_take("Rack B", read, boxes);
  EXPECT_EQ(line_of(taken, "TM-1")->taken.outcome, StockTaken::Outcome::found);
  EXPECT_EQ(line_of(taken, "TM-2")->taken.outcome, StockTaken::Outcome::strayed);
  EXPECT_EQ(line_of(taken, "TM-3")->taken.outcome, StockTaken::Outcome::missing);
  EXPECT_EQ(line_of(taken, "TM-4")->taken.outcome, StockTaken::Outcome::strayed) << "belongs to another rack";
  EXPECT_EQ(line_of(taken, "TM-5"), nullptr) << "'Rack B2' is another rack than 'Rack B'";
  EXPECT_EQ(taken.unknown, std::vector<std::string>{"XX-9"});
}

}  // namespace
}  // namespace boxfettle
