#include "store/database.hpp"

#include <sqlite3.h>

#include <stdexcept>

#include "input/input_error.hpp"
#include "store/schema.hpp"
#include "store/store_error.hpp"

namespace boxfettle {
namespace {

constexpr int busy_timeout_ms = 5000;

StoreFault fault_of(int code) {
  switch (code & 0xff) {  // the primary code of an extended one
    case SQLITE_FULL:
      return StoreFault::full;
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return StoreFault::busy;
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return StoreFault::damaged;
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
    case SQLITE_CANTOPEN:
      return StoreFault::denied;
    default:
      return StoreFault::disk;
  }
}

std::string mend(StoreFault fault) {
  switch (fault) {
    case StoreFault::full:
      return "nothing of the change was kept; make room on the disk and try again";
    case StoreFault::busy:
      return "another program holds the record; try again in a moment";
    case StoreFault::damaged:
      return "stop, keep a copy of the file, and restore the last backup";
    case StoreFault::denied:
      return "check the permissions of the data directory";
    case StoreFault::disk:
      return "check the disk; nothing of the change was kept";
  }
  return "";
}

[[noreturn]] void fail(sqlite3* connection, int code) {
  const std::string message = sqlite3_errmsg(connection);
  // A wrong statement or a broken constraint is a mistake of ours, not of the disk.
  const int primary = code & 0xff;
  if (primary == SQLITE_ERROR || primary == SQLITE_CONSTRAINT || primary == SQLITE_MISUSE ||
      primary == SQLITE_RANGE)
    throw std::logic_error("record: " + message);
  const StoreFault fault = fault_of(code);
  throw StoreError(fault, "the record: " + message + "; " + mend(fault));
}

class Statement {
 public:
  Statement(sqlite3* connection, std::string_view sql) : connection_(connection) {
    const int code =
        sqlite3_prepare_v2(connection, sql.data(), static_cast<int>(sql.size()), &statement_, nullptr);
    if (code != SQLITE_OK) fail(connection_, code);
  }
  ~Statement() { sqlite3_finalize(statement_); }
  Statement(const Statement&) = delete;
  Statement& operator=(const Statement&) = delete;

  void bind(int place, const SqlValue& value) {
    const int code = std::visit([&](const auto& v) { return bind_one(place, v); }, value);
    if (code != SQLITE_OK) fail(connection_, code);
  }

  bool step() {
    const int code = sqlite3_step(statement_);
    if (code != SQLITE_ROW && code != SQLITE_DONE) fail(connection_, code);
    return code == SQLITE_ROW;
  }

  SqlRow row() const {
    SqlRow values;
    const int columns = sqlite3_column_count(statement_);
    for (int i = 0; i < columns; ++i) values.push_back(column(i));
    return values;
  }

 private:
  // The bound values outlive the statement, so nothing is copied.
  int bind_one(int place, std::monostate) { return sqlite3_bind_null(statement_, place); }
  int bind_one(int place, std::int64_t v) { return sqlite3_bind_int64(statement_, place, v); }
  int bind_one(int place, double v) { return sqlite3_bind_double(statement_, place, v); }
  int bind_one(int place, const std::string& v) {
    return sqlite3_bind_text64(statement_, place, v.data(), v.size(), SQLITE_STATIC, SQLITE_UTF8);
  }
  int bind_one(int place, const SqlBlob& v) {
    if (v.empty()) return sqlite3_bind_zeroblob(statement_, place, 0);
    return sqlite3_bind_blob64(statement_, place, v.data(), v.size(), SQLITE_STATIC);
  }

  SqlValue column(int i) const {
    switch (sqlite3_column_type(statement_, i)) {
      case SQLITE_INTEGER:
        return std::int64_t{sqlite3_column_int64(statement_, i)};
      case SQLITE_FLOAT:
        return sqlite3_column_double(statement_, i);
      case SQLITE_TEXT: {
        const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(statement_, i));
        return std::string(text, static_cast<std::size_t>(sqlite3_column_bytes(statement_, i)));
      }
      case SQLITE_BLOB: {
        const auto* bytes = static_cast<const std::byte*>(sqlite3_column_blob(statement_, i));
        return SqlBlob(bytes, bytes + sqlite3_column_bytes(statement_, i));
      }
      default:
        return std::monostate{};
    }
  }

  sqlite3* connection_;
  sqlite3_stmt* statement_ = nullptr;
};

template <class Type>
const Type& as(const SqlValue& value) {
  if (const Type* held = std::get_if<Type>(&value)) return *held;
  throw StoreError(StoreFault::damaged,
                   "the record: a value is of another kind than was written; " + mend(StoreFault::damaged));
}

}  // namespace

Access::Access(Database& database) : database_(database), lock_(database.mutex_) {}

std::vector<SqlRow> Access::run(std::string_view sql, std::span<const SqlValue> bound) {
  Statement statement(database_.connection_, sql);
  int place = 0;
  for (const SqlValue& value : bound) statement.bind(++place, value);
  std::vector<SqlRow> rows;
  while (statement.step()) rows.push_back(statement.row());
  return rows;
}

std::int64_t Access::changed_rows() const {
  return sqlite3_changes64(database_.connection_);
}

bool Access::in_transaction() const {
  return sqlite3_get_autocommit(database_.connection_) == 0;
}

Transaction::Transaction(Access& access) : access_(access) {
  access_.run("BEGIN IMMEDIATE");
}

Transaction::~Transaction() {
  // SQLite has rolled back by itself after a full disk.
  if (!open_ || !access_.in_transaction()) return;
  try {
    access_.run("ROLLBACK");
  } catch (const std::exception&) {
    // The failure that led here is on its way already; the next open rolls back what is left.
  }
}

void Transaction::commit() {
  access_.run("COMMIT");
  open_ = false;
}

Database::Database(const std::filesystem::path& file) : file_(file) {
  const int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE;
  try {
    if (const int code = sqlite3_open_v2(file_.c_str(), &connection_, flags, nullptr); code != SQLITE_OK)
      fail(connection_, code);
    sqlite3_busy_timeout(connection_, busy_timeout_ms);
    Access use(*this);
    use.run("PRAGMA journal_mode = WAL");
    use.run("PRAGMA synchronous = FULL");
    use.run("PRAGMA foreign_keys = ON");
    use.run("PRAGMA trusted_schema = OFF");
    bring_schema(use, file_.string());
  } catch (const StoreError& failure) {
    sqlite3_close_v2(connection_);
    if (failure.fault() != StoreFault::damaged) throw;
    throw InputError(file_.string(), "", "is not a readable record",
                     "name the right data directory or restore a backup");
  } catch (...) {
    sqlite3_close_v2(connection_);
    throw;
  }
}

Database::~Database() {
  sqlite3_close_v2(connection_);
}

std::int64_t as_integer(const SqlValue& value) {
  return as<std::int64_t>(value);
}
double as_real(const SqlValue& value) {
  return as<double>(value);
}
const std::string& as_text(const SqlValue& value) {
  return as<std::string>(value);
}
const SqlBlob& as_blob(const SqlValue& value) {
  return as<SqlBlob>(value);
}
bool is_null(const SqlValue& value) {
  return std::holds_alternative<std::monostate>(value);
}

SqlBlob blob_of(const ContentHash& hash) {
  const auto bytes = std::as_bytes(std::span(hash.bytes));
  return {bytes.begin(), bytes.end()};
}

ContentHash as_hash(const SqlValue& value) {
  const SqlBlob& blob = as_blob(value);
  ContentHash hash;
  if (blob.size() != hash.bytes.size())
    throw StoreError(StoreFault::damaged,
                     "the record: a hash has the wrong length; " + mend(StoreFault::damaged));
  for (std::size_t i = 0; i < blob.size(); ++i) hash.bytes[i] = std::to_integer<unsigned char>(blob[i]);
  return hash;
}

}  // namespace boxfettle
