#include "store/schema.hpp"

#include <array>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

constexpr std::int64_t application = 0x42664c67;  // "BfLg", in the file's header
constexpr std::int64_t version = 3;

// `box` and `request` of an entry repeat what its text says, to find it by; verify checks that they agree.
constexpr std::array tables{
    "CREATE TABLE entries (seq INTEGER PRIMARY KEY, box TEXT NOT NULL, request TEXT NOT NULL, text TEXT NOT "
    "NULL,"
    " hash BLOB NOT NULL) STRICT",
    "CREATE INDEX entries_of_box ON entries (box, seq)",
    "CREATE INDEX entries_of_request ON entries (request, seq)",
    "CREATE TABLE people (name TEXT PRIMARY KEY, role TEXT NOT NULL, passphrase TEXT NOT NULL) STRICT",
    "CREATE TABLE sessions (token_hash BLOB PRIMARY KEY, person TEXT NOT NULL REFERENCES people (name) ON "
    "DELETE CASCADE,"
    " expires_ms INTEGER NOT NULL) STRICT",
    "CREATE TABLE readings (id TEXT PRIMARY KEY, box TEXT NOT NULL, json TEXT NOT NULL, surface BLOB NOT "
    "NULL,"
    " section TEXT NOT NULL) STRICT",
    "CREATE TABLE jobs (number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, kind TEXT NOT NULL, box TEXT "
    "NOT NULL,"
    " who TEXT NOT NULL, file_name TEXT NOT NULL, file BLOB NOT NULL, settings TEXT NOT NULL, state TEXT NOT "
    "NULL,"
    " share REAL NOT NULL, step TEXT NOT NULL, queued_ms INTEGER NOT NULL, attempts INTEGER NOT NULL, result "
    "TEXT NOT NULL,"
    " what TEXT NOT NULL, mend TEXT NOT NULL, place TEXT NOT NULL, cancel INTEGER NOT NULL, worker TEXT NOT "
    "NULL,"
    " lease_ends_ms INTEGER NOT NULL) STRICT",
    "CREATE INDEX jobs_open ON jobs (number) WHERE state IN ('queued', 'running')",
    "CREATE TABLE shots (box TEXT NOT NULL, station TEXT NOT NULL, minute INTEGER NOT NULL, count INTEGER "
    "NOT NULL,"
    " PRIMARY KEY (box, station, minute)) STRICT, WITHOUT ROWID",
};

// Since version 2. `number` counts the values of one box and characteristic from 1, without gaps.
constexpr std::array measurement_tables{
    "CREATE TABLE measurements (box TEXT NOT NULL, characteristic TEXT NOT NULL, number INTEGER NOT NULL,"
    " unit TEXT NOT NULL, at_ms INTEGER NOT NULL, who TEXT NOT NULL, value REAL NOT NULL, run TEXT NOT NULL,"
    " request TEXT NOT NULL, PRIMARY KEY (box, characteristic, number)) STRICT, WITHOUT ROWID",
    "CREATE UNIQUE INDEX measurements_of_request ON measurements (box, request)",
};

// Since version 3. Charts go by the time of measuring, numbers by arrival. Nothing is taken out of
// `measurements`: what was wrong is named in the other table.
constexpr std::array struck_tables{
    "ALTER TABLE measurements ADD COLUMN arrived_ms INTEGER NOT NULL DEFAULT 0",
    "UPDATE measurements SET arrived_ms = at_ms",
    "CREATE INDEX measurements_in_time ON measurements (box, characteristic, at_ms, number)",
    "CREATE TABLE struck_measurements (box TEXT NOT NULL, characteristic TEXT NOT NULL, number INTEGER NOT NULL,"
    " request TEXT NOT NULL, struck_ms INTEGER NOT NULL, struck_by TEXT NOT NULL, why TEXT NOT NULL,"
    " PRIMARY KEY (box, characteristic, number)) STRICT, WITHOUT ROWID",
};

std::int64_t single(Access& access, std::string_view sql) {
  return as_integer(access.run(sql).at(0).at(0));
}

// From the version found, 0 in an empty file, to ours.
void create_tables(Access& access, std::int64_t found) {
  if (found < 1)
    for (const char* sql : tables) access.run(sql);
  if (found < 2)
    for (const char* sql : measurement_tables) access.run(sql);
  if (found < 3)
    for (const char* sql : struck_tables) access.run(sql);
  access.run("PRAGMA application_id = " + std::to_string(application));
  access.run("PRAGMA user_version = " + std::to_string(version));
}

}  // namespace

void bring_schema(Access& access, const std::string& file) {
  Transaction change(access);
  const std::int64_t found = single(access, "PRAGMA user_version");
  const bool ours = single(access, "PRAGMA application_id") == application;
  const bool bare = single(access, "SELECT count(*) FROM sqlite_schema") == 0;
  if (!ours && !bare)
    throw InputError(file, "", "is a database of another program", "name the data directory of this shop");
  if (ours && found > version)
    throw InputError(file, "",
                     "was written by a newer program (record version " + std::to_string(found) + ")",
                     "start the newer program, or restore the backup taken before it was installed");
  if (bare || found < version) create_tables(access, bare ? 0 : found);
  change.commit();
}

}  // namespace boxfettle
