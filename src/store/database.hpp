// A thin layer over sqlite3: one connection, one value type, one error enumeration (store_error.hpp).
//
// One connection under one mutex serves all threads. A durable commit costs some milliseconds and a shop
// makes a few per minute, so a pool would buy nothing and would let two threads of one program wait for each
// other's lock by polling. Whatever may take long (hashing a passphrase, copying a file) happens outside the
// mutex. Several processes may share the file: writers queue by BEGIN IMMEDIATE and the busy timeout.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <initializer_list>
#include <mutex>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "shop/content_hash.hpp"

struct sqlite3;

namespace boxfettle {

using SqlBlob = std::vector<std::byte>;
using SqlValue = std::variant<std::monostate, std::int64_t, double, std::string, SqlBlob>;
using SqlRow = std::vector<SqlValue>;

class Database;

// The right to use the connection, for as long as it lives. Everything the database does goes through one.
class Access {
 public:
  // Runs one statement with its `?` bound in order and returns all rows. Throws StoreError.
  std::vector<SqlRow> run(std::string_view sql, std::span<const SqlValue> bound = {});
  std::vector<SqlRow> run(std::string_view sql, std::initializer_list<SqlValue> bound) {
    return run(sql, std::span<const SqlValue>(bound.begin(), bound.size()));
  }
  std::int64_t changed_rows() const;  // by the last statement
  bool in_transaction() const;

 private:
  friend class Database;
  explicit Access(Database& database);
  Database& database_;
  std::unique_lock<std::mutex> lock_;
};

// All or nothing: rolled back unless `commit` was reached. Takes the write lock at once, so nothing read
// inside can be stale.
class Transaction {
 public:
  explicit Transaction(Access& access);
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;

  void commit();

 private:
  Access& access_;
  bool open_ = true;
};

class Database {
 public:
  // Creates the file when it is missing. Throws InputError when it is no such record or was written by a
  // newer program, StoreError when the disk says no.
  explicit Database(const std::filesystem::path& file);
  ~Database();
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;

  Access access() { return Access(*this); }
  const std::filesystem::path& file() const { return file_; }

 private:
  friend class Access;
  std::filesystem::path file_;
  std::mutex mutex_;
  sqlite3* connection_ = nullptr;
};

// A column as the type it was written as. Throws StoreError (damaged) when it holds something else.
std::int64_t as_integer(const SqlValue& value);
double as_real(const SqlValue& value);
const std::string& as_text(const SqlValue& value);
const SqlBlob& as_blob(const SqlValue& value);
bool is_null(const SqlValue& value);

SqlBlob blob_of(const ContentHash& hash);
ContentHash as_hash(const SqlValue& value);

}  // namespace boxfettle
