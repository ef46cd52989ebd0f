#include "shop/notices.hpp"

#include <gmock/gmock.h>

#include <array>
#include <map>
#include <memory>
#include <string>

namespace boxfettle {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

const UtcTime now = UtcTime::parse("2026-11-25T10:30:00Z");
const std::array every_role{Role::operator_, Role::supervisor, Role::fitter, Role::quality, Role::tooling};

class ShopWithNews : public testing::Test {
 protected:
  void tell(const std::string& box, EntryBody body, const std::string& who = "Mirela", UtcTime at = now) {
    Entry entry;
    entry.seq = static_cast<std::int64_t>(entries_.size()) + 1;
    entry.at = at;
    entry.who = who;
    entry.box = box;
    entry.body = std::move(body);
    if (box == whole_shop)
      fold(shop_, entry);
    else {
      auto& state = boxes_[box];
      if (!state) state = std::make_shared<BoxState>();
      fold_into(*state, entry);
    }
    entries_.push_back(std::move(entry));
  }
  std::vector<DueItem> due() const {
    std::vector<std::shared_ptr<const BoxState>> all;
    for (const auto& [id, state] : boxes_) all.push_back(state);
    return due_items(shop_, all, shipped_catalogue(), now);
  }
  Notices told(Role role, std::size_t seen = 0, const std::string& who = "Yusuf") const {
    return notices({who, role}, std::span(entries_).subspan(seen), due(), now);
  }
  static std::vector<std::string> ids(const std::vector<DueItem>& items) {
    std::vector<std::string> ids;
    for (const DueItem& item : items) ids.push_back(item.id);
    return ids;
  }

  std::vector<Entry> entries_;
  std::map<std::string, std::shared_ptr<BoxState>> boxes_;
  ShopState shop_;
};

TEST_F(ShopWithNews, EverybodyHearsOfAHoldButNotOfTheirOwnNorOfWhatTheyHaveSeen) {
  tell("TM-0412", Held{"cracked core", false, ""});
  for (const Role role : every_role) {
    ASSERT_EQ(told(role).changed.size(), 1u);
    EXPECT_EQ(told(role).changed[0].box, "TM-0412");
    EXPECT_THAT(told(role).changed[0].text, testing::HasSubstr("cracked core"));
    EXPECT_THAT(told(role, 1).changed, IsEmpty());
    EXPECT_THAT(told(role, 0, "Mirela").changed, IsEmpty());
  }
}

TEST_F(ShopWithNews, AFitterHearsOfJobsAndSparesAndAnOperatorOfNeither) {
  tell("TM-0412", JobRaised{"TM-0412/J1", "Renew bushes", "fitting", 2, {}, 0, ""});
  tell(std::string(whole_shop), SpareCounted{"BUSH-12", "", 1, 0, {}, 0});
  EXPECT_EQ(told(Role::fitter).changed.size(), 2u);
  EXPECT_EQ(told(Role::fitter).changed[0].box, "");
  EXPECT_THAT(told(Role::operator_).changed, IsEmpty());
}

TEST_F(ShopWithNews, ARunWithinADayIsDueOnePastIsOverdueAndOneLaterIsNeither) {
  for (const auto& [plan, hours] : std::map<std::string, int>{{"TM-0412/P1", -1}, {"TM-0412/P2", 23}, {"TM-0412/P3", 25}})
    tell("TM-0412", RunPlanned{plan, now + std::chrono::hours(hours), 0, 1, "", ""});
  const Notices notices = told(Role::supervisor);
  EXPECT_THAT(ids(notices.due), ElementsAre("run TM-0412/P2"));
  EXPECT_THAT(ids(notices.overdue), testing::Contains("run TM-0412/P1"));
  EXPECT_THAT(ids(notices.overdue), testing::Not(testing::Contains("run TM-0412/P3")));
}

TEST_F(ShopWithNews, AFitterHearsOfARunOnlyWhileAJobIsOpenOnItsBox) {
  tell("TM-0412", RunPlanned{"TM-0412/P1", now + std::chrono::hours(5), 0, 1, "", ""});
  EXPECT_THAT(told(Role::fitter).due, IsEmpty());
  tell("TM-0412", JobRaised{"TM-0412/J1", "Renew bushes", "fitting", 2, {}, 0, ""});
  EXPECT_THAT(ids(told(Role::fitter).due), ElementsAre("run TM-0412/P1"));
}

TEST_F(ShopWithNews, AnInspectionFallsDueWhenTheCatalogueSays) {
  const auto age = shipped_catalogue().inspect_again_after;
  tell("TM-0412", BoxRegistered{"Pump volute core", "", "cold-box", "aluminium", "", {}, {}, {}, ""}, "Greta", now - std::chrono::days(400));
  tell("TM-0412", Inspected{1, {{"dowels", true, {}, "", "", {}}}}, "Asha", now - age - std::chrono::hours(1));
  EXPECT_THAT(ids(told(Role::operator_).overdue), ElementsAre("inspection TM-0412"));
  tell("TM-0412", Inspected{1, {{"dowels", true, {}, "", "", {}}}}, "Asha", now);
  EXPECT_THAT(told(Role::operator_).overdue, IsEmpty());
  EXPECT_THAT(told(Role::operator_).due, IsEmpty());
}

TEST_F(ShopWithNews, ADeliveryThatHasNotComeIsTheToolRoomsToAskAfter) {
  tell(std::string(whole_shop), SpareCounted{"BUSH-12", "", 0, 0, now - std::chrono::hours(2), 4});
  EXPECT_THAT(ids(told(Role::fitter).overdue), ElementsAre("delivery BUSH-12"));
  EXPECT_THAT(told(Role::operator_).overdue, IsEmpty());
}

TEST_F(ShopWithNews, AConcessionThatEndsIsToldUnlessItsHoldIsLifted) {
  tell("TM-0412", Held{"fin at the print", false, ""});
  tell("TM-0412", Conceded{.why = "last order", .holds = {1}, .until = now + std::chrono::hours(3), .shots = 100});
  EXPECT_THAT(ids(told(Role::quality).due), ElementsAre("concession 2"));
  tell("TM-0412", Released{"mended", {1}});
  EXPECT_THAT(told(Role::quality).due, IsEmpty());
}

TEST_F(ShopWithNews, NothingIsDueOnAScrappedBox) {
  tell("TM-0412", RunPlanned{"TM-0412/P1", now, 0, 1, "", ""});
  tell("TM-0412", Scrapped{"beyond mending"});
  EXPECT_THAT(due(), IsEmpty());
}

}  // namespace
}  // namespace boxfettle
