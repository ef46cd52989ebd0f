#include "store/people.hpp"

#include <gmock/gmock.h>

#include "input/input_error.hpp"
#include "store/scratch_dir.hpp"

namespace boxfettle {
namespace {

const UtcTime monday = UtcTime::parse("2026-11-23T06:00:00Z");
const Person asha{"Asha", Role::supervisor};
constexpr std::string_view passphrase = "sand and binder";

class AtTheDoor : public testing::Test {
 protected:
  ScratchDir dir;
  Database database{dir.path() / "record.sqlite"};
  People people{database,
                PassphraseCost{1, 8u << 10}};  // the least argon2id takes: these tests are about the rules
};

TEST_F(AtTheDoor, OnlyTheRightPassphraseOpens) {
  people.put(asha, passphrase);
  EXPECT_EQ(people.verify_passphrase("Asha", passphrase), asha);
  EXPECT_FALSE(people.verify_passphrase("Asha", "sand and bindeR"));
  EXPECT_FALSE(people.verify_passphrase("Ravi", passphrase));
  EXPECT_FALSE(people.verify_passphrase("Asha", ""));
}

TEST_F(AtTheDoor, NeitherPassphraseNorTokenStandsInTheRecord) {
  people.put(asha, passphrase);
  const std::string token = people.open_session("Asha", monday, std::chrono::minutes{60});
  const auto rows = database.access().run("SELECT passphrase, hex(token_hash) FROM people JOIN sessions");
  EXPECT_THAT(as_text(rows.at(0).at(0)), testing::StartsWith("$argon2id$"));
  EXPECT_THAT(as_text(rows.at(0).at(0)), testing::Not(testing::HasSubstr(std::string(passphrase))));
  EXPECT_THAT(as_text(rows.at(0).at(1)), testing::Not(testing::StrCaseEq(token)));
}

TEST_F(AtTheDoor, ACalendarTokenOpensOnlyItsOwnersCalendarUntilThePassphraseChanges) {
  people.put(asha, passphrase);
  people.put({"Bo", Role::tooling}, passphrase);
  const std::string token = people.calendar_token("Asha");
  EXPECT_EQ(token.size(), 64u);
  EXPECT_EQ(people.calendar_token("Asha"), token);
  EXPECT_NE(people.calendar_token("Bo"), token);
  EXPECT_EQ(people.calendar_person(token), asha);
  EXPECT_FALSE(people.session_person(token, monday));
  EXPECT_FALSE(people.calendar_person(""));
  EXPECT_FALSE(people.calendar_person(token.substr(0, 63)));
  people.put(asha, "another passphrase");
  EXPECT_FALSE(people.calendar_person(token));
  EXPECT_THROW(people.calendar_token("Ravi"), InputError);
}

TEST_F(AtTheDoor, ASessionLastsUntilItExpiresOrIsClosed) {
  people.put(asha, passphrase);
  const std::string token = people.open_session("Asha", monday, std::chrono::minutes{60});
  EXPECT_EQ(token.size(), 64u);
  EXPECT_EQ(people.session_person(token, monday + std::chrono::minutes{59}), asha);
  EXPECT_FALSE(people.session_person(token, monday + std::chrono::minutes{60}));
  EXPECT_FALSE(people.session_person("made up", monday));
  people.close_session(token);
  EXPECT_FALSE(people.session_person(token, monday));
}

TEST_F(AtTheDoor, ANewPassphraseEndsOldSessions) {
  people.put(asha, passphrase);
  const std::string token = people.open_session("Asha", monday, std::chrono::minutes{60});
  people.put({"Asha", Role::quality}, "another passphrase");
  EXPECT_FALSE(people.session_person(token, monday));
  EXPECT_EQ(people.verify_passphrase("Asha", "another passphrase")->role, Role::quality);
  EXPECT_FALSE(people.verify_passphrase("Asha", passphrase));
}

TEST_F(AtTheDoor, ExpiredSessionsAreSweptOut) {
  people.put(asha, passphrase);
  people.open_session("Asha", monday, std::chrono::minutes{1});
  const std::string longer = people.open_session("Asha", monday, std::chrono::minutes{60});
  people.drop_expired_sessions(monday + std::chrono::minutes{2});
  EXPECT_EQ(as_integer(database.access().run("SELECT count(*) FROM sessions").at(0).at(0)), 1);
  EXPECT_EQ(people.session_person(longer, monday), asha);
}

TEST_F(AtTheDoor, ShortPassphrasesAndStrangersAreRefused) {
  EXPECT_THROW(people.put(asha, "short"), InputError);
  EXPECT_THROW(people.put({"", Role::operator_}, passphrase), InputError);
  EXPECT_THROW(people.open_session("Nobody", monday, std::chrono::minutes{60}), InputError);
}

}  // namespace
}  // namespace boxfettle
