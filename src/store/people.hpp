// Who may sign in, and who is signed in.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shop/role.hpp"
#include "shop/utc_time.hpp"
#include "store/database.hpp"

namespace boxfettle {

// argon2id. The defaults are libsodium's 'interactive' ones: 64 MiB and some 0.1 s for each guess.
struct PassphraseCost {
  unsigned long long passes = 2;
  std::size_t memory_bytes = 64u << 20;
};

class People {
 public:
  explicit People(Database& database, PassphraseCost cost = {});

  // Adds the person, or changes role and passphrase of who is there; a changed passphrase ends all sessions
  // of that person. Throws InputError when the name is empty or the passphrase shorter than 8 characters.
  void put(const Person& person, std::string_view passphrase);
  std::vector<Person> all();

  // Takes as long for a name that does not exist.
  std::optional<Person> verify_passphrase(std::string_view name, std::string_view passphrase);

  // A fresh 256-bit token as 64 hexadecimal digits. Only its hash is kept.
  std::string open_session(std::string_view name, UtcTime now, std::chrono::minutes lifetime);
  std::optional<Person> session_person(std::string_view token, UtcTime now);
  void close_session(std::string_view token);
  void drop_expired_sessions(UtcTime now);

  // A token that opens the person's calendar and nothing else: 64 hexadecimal digits made from their stored
  // passphrase hash, so it lasts until the passphrase is changed and is kept nowhere. Throws InputError when
  // nobody of that name is known.
  std::string calendar_token(std::string_view name);
  std::optional<Person> calendar_person(std::string_view token);

 private:
  std::string passphrase_hash(std::string_view passphrase) const;

  Database& database_;
  PassphraseCost cost_;
  std::string nobodys_hash_;  // compared against when the name is unknown
};

}  // namespace boxfettle
