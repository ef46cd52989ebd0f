#include "store/people.hpp"

#include <sodium.h>

#include <new>

#include "input/input_error.hpp"
#include "shop/content_hash.hpp"
#include "store/random_id.hpp"
#include "store/store_error.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t token_bytes = 32;

Person person_in(const SqlRow& row) {
  const auto role = role_named(as_text(row[1]));
  if (!role) throw StoreError(StoreFault::damaged, "the record: a person has a role that is not known");
  return {as_text(row[0]), *role};
}

SqlBlob token_hash(std::string_view token) {
  return blob_of(content_hash(token));
}

// Keyed with what an attacker without the record cannot know; nothing of the key can be told from it.
std::string calendar_token_of(const std::string& name, const std::string& passphrase_hash) {
  const ContentHash key = content_hash(passphrase_hash);
  const std::string message = "boxfettle calendar " + name;
  unsigned char made[token_bytes];
  crypto_generichash(made, sizeof made, reinterpret_cast<const unsigned char*>(message.data()), message.size(),
                     key.bytes.data(), key.bytes.size());
  char digits[2 * token_bytes + 1];
  return sodium_bin2hex(digits, sizeof digits, made, sizeof made);
}

}  // namespace

People::People(Database& database, PassphraseCost cost)
    : database_(database), cost_(cost), nobodys_hash_(passphrase_hash(random_hex(token_bytes))) {}

std::string People::passphrase_hash(std::string_view passphrase) const {
  if (sodium_init() < 0) throw std::runtime_error("no secure random source");
  char hash[crypto_pwhash_STRBYTES];
  if (crypto_pwhash_str(hash, passphrase.data(), passphrase.size(), cost_.passes, cost_.memory_bytes) != 0)
    throw std::bad_alloc();
  return hash;
}

void People::put(const Person& person, std::string_view passphrase) {
  if (person.name.empty() || person.name.size() > 80)
    throw InputError("", "name", "must have 1 to 80 characters", "give the person's name");
  if (passphrase.size() < 8 || passphrase.size() > 200)
    throw InputError("", "passphrase", "must have 8 to 200 characters",
                     "choose a longer one; a few words do well");
  const std::string hash = passphrase_hash(passphrase);
  Access use = database_.access();
  Transaction change(use);
  use.run(
      "INSERT INTO people (name, role, passphrase) VALUES (?1, ?2, ?3)"
      " ON CONFLICT (name) DO UPDATE SET role = ?2, passphrase = ?3",
      {person.name, std::string(name(person.role)), hash});
  use.run("DELETE FROM sessions WHERE person = ?", {person.name});
  change.commit();
}

std::vector<Person> People::all() {
  Access use = database_.access();
  std::vector<Person> people;
  for (const SqlRow& row : use.run("SELECT name, role FROM people ORDER BY name"))
    people.push_back(person_in(row));
  return people;
}

std::optional<Person> People::verify_passphrase(std::string_view name, std::string_view passphrase) {
  const auto rows =
      database_.access().run("SELECT name, role, passphrase FROM people WHERE name = ?", {std::string(name)});
  const std::string& hash = rows.empty() ? nobodys_hash_ : as_text(rows[0][2]);
  const bool right = crypto_pwhash_str_verify(hash.c_str(), passphrase.data(), passphrase.size()) == 0;
  if (rows.empty() || !right) return std::nullopt;
  return person_in(rows[0]);
}

std::string People::open_session(std::string_view name, UtcTime now, std::chrono::minutes lifetime) {
  const std::string token = random_hex(token_bytes);
  Access use = database_.access();
  use.run(
      "INSERT INTO sessions (token_hash, person, expires_ms) SELECT ?, name, ? FROM people WHERE name = ?",
      {token_hash(token), (now + lifetime).ms_since_epoch, std::string(name)});
  if (use.changed_rows() == 0)
    throw InputError("", "name", "nobody of that name is known", "add the person first");
  return token;
}

std::optional<Person> People::session_person(std::string_view token, UtcTime now) {
  Access use = database_.access();
  const auto rows = use.run(
      "SELECT p.name, p.role FROM sessions s JOIN people p ON p.name = s.person"
      " WHERE s.token_hash = ? AND s.expires_ms > ?",
      {token_hash(token), now.ms_since_epoch});
  return rows.empty() ? std::nullopt : std::optional(person_in(rows[0]));
}

void People::close_session(std::string_view token) {
  database_.access().run("DELETE FROM sessions WHERE token_hash = ?", {token_hash(token)});
}

void People::drop_expired_sessions(UtcTime now) {
  database_.access().run("DELETE FROM sessions WHERE expires_ms <= ?", {now.ms_since_epoch});
}

std::string People::calendar_token(std::string_view name) {
  const auto rows =
      database_.access().run("SELECT name, passphrase FROM people WHERE name = ?", {std::string(name)});
  if (rows.empty()) throw InputError("", "name", "nobody of that name is known", "add the person first");
  return calendar_token_of(as_text(rows[0][0]), as_text(rows[0][1]));
}

std::optional<Person> People::calendar_person(std::string_view token) {
  std::optional<Person> whose;
  for (const SqlRow& row : database_.access().run("SELECT name, role, passphrase FROM people")) {
    const std::string right = calendar_token_of(as_text(row[0]), as_text(row[2]));
    if (right.size() == token.size() && sodium_memcmp(right.data(), token.data(), right.size()) == 0)
      whose = person_in(row);
  }
  return whose;
}

}  // namespace boxfettle
