#include "store/stored_logbook.hpp"

#include <optional>
#include <set>
#include <stdexcept>

#include "input/input_error.hpp"
#include "shop/canonical_text.hpp"
#include "store/store_error.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t page = 1000;  // entries read at a time, so that nobody waits long for the connection

const std::string columns =
    "SELECT e.seq, e.text, e.hash, (SELECT p.hash FROM entries p WHERE p.seq = e.seq - 1) FROM entries e ";

Head head_in(Access& use) {
  const auto rows = use.run("SELECT seq, hash FROM entries ORDER BY seq DESC LIMIT 1");
  return rows.empty() ? Head{} : Head{as_integer(rows[0][0]), as_hash(rows[0][1])};
}

Entry entry_in(const SqlRow& row) {
  const std::int64_t seq = as_integer(row[0]);
  try {
    Entry entry = entry_from_text(as_text(row[1]));
    entry.hash = as_hash(row[2]);
    if (!is_null(row[3])) entry.previous = as_hash(row[3]);
    return entry;
  } catch (const InputError& fault) {
    throw StoreError(StoreFault::damaged,
                     "entry " + std::to_string(seq) + " of the record cannot be read: " + fault.what());
  }
}

std::vector<Entry> entries_in(const std::vector<SqlRow>& rows) {
  std::vector<Entry> entries;
  entries.reserve(rows.size());
  for (const SqlRow& row : rows) entries.push_back(entry_in(row));
  return entries;
}

std::vector<Entry> request_in(Access& use, std::string_view request) {
  return entries_in(use.run(columns + "WHERE e.request = ? ORDER BY e.seq", {std::string(request)}));
}

// The texts to write. Entries that are no chain are a mistake of the caller, found before the disk sees them.
std::vector<std::string> chained_texts(std::span<const Entry> entries) {
  std::vector<std::string> texts;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    texts.push_back(canonical_text(entries[i]));
    const bool follows =
        i == 0 || (entries[i].seq == entries[i - 1].seq + 1 && entries[i].previous == entries[i - 1].hash);
    if (!follows || chain_hash(entries[i].previous, texts.back()) != entries[i].hash)
      throw std::invalid_argument("entry " + std::to_string(entries[i].seq) + " does not continue the chain");
  }
  return texts;
}

std::vector<Entry> earlier_entries(Access& use, std::span<const Entry> entries) {
  std::set<std::string_view> requests;
  std::vector<Entry> earlier;
  for (const Entry& entry : entries)
    if (requests.insert(entry.request).second)
      for (Entry& found : request_in(use, entry.request)) earlier.push_back(std::move(found));
  return earlier;
}

}  // namespace

Head StoredLogbook::head() {
  Access use = database_.access();
  return head_in(use);
}

Appended StoredLogbook::append(std::span<const Entry> entries) {
  const std::vector<std::string> texts = chained_texts(entries);
  if (entries.empty()) return {};
  Access use = database_.access();
  Transaction change(use);
  if (auto earlier = earlier_entries(use, entries); !earlier.empty())
    return {Appended::How::already_there, std::move(earlier)};
  const Head head = head_in(use);
  if (entries.front().seq != head.seq + 1 || entries.front().previous != head.hash)
    return {Appended::How::head_moved_on, {}};
  for (std::size_t i = 0; i < entries.size(); ++i)
    use.run("INSERT INTO entries (seq, box, request, text, hash) VALUES (?, ?, ?, ?, ?)",
            {entries[i].seq, entries[i].box, entries[i].request, texts[i], blob_of(entries[i].hash)});
  change.commit();
  return {Appended::How::written, {entries.begin(), entries.end()}};
}

std::vector<Entry> StoredLogbook::all() {
  std::vector<Entry> entries;
  for (auto some = since(0, page); !some.empty(); some = since(entries.back().seq, page))
    entries.insert(entries.end(), std::make_move_iterator(some.begin()), std::make_move_iterator(some.end()));
  return entries;
}

std::vector<Entry> StoredLogbook::of_box(std::string_view box) {
  Access use = database_.access();
  return entries_in(use.run(columns + "WHERE e.box = ? ORDER BY e.seq", {std::string(box)}));
}

std::vector<Entry> StoredLogbook::since(std::int64_t seq, std::size_t at_most) {
  Access use = database_.access();
  return entries_in(
      use.run(columns + "WHERE e.seq > ? ORDER BY e.seq LIMIT ?", {seq, static_cast<std::int64_t>(at_most)}));
}

std::vector<Entry> StoredLogbook::of_request(std::string_view request) {
  Access use = database_.access();
  return request_in(use, request);
}

std::vector<std::string> StoredLogbook::boxes() {
  Access use = database_.access();
  std::vector<std::string> boxes;
  for (const SqlRow& row : use.run("SELECT DISTINCT box FROM entries ORDER BY box"))
    boxes.push_back(as_text(row[0]));
  return boxes;
}

namespace {

// Feeds one stored row to the verifier. Returns what the chain itself cannot tell: that it is filed wrongly.
std::optional<std::string> look_at(const SqlRow& row, ChainVerifier& verifier) {
  const std::string& text = as_text(row[3]);
  verifier.next(text, as_hash(row[4]));
  if (!verifier.result().whole) return std::nullopt;
  const Entry entry = entry_from_text(text);
  const bool filed_right =
      entry.seq == as_integer(row[0]) && entry.box == as_text(row[1]) && entry.request == as_text(row[2]);
  return filed_right ? std::nullopt
                     : std::optional<std::string>("it is filed under another number, box or request");
}

}  // namespace

ChainCheck StoredLogbook::verify() {
  ChainVerifier verifier;
  std::int64_t good = 0;
  try {
    for (;;) {
      const auto rows = database_.access().run(
          "SELECT seq, box, request, text, hash FROM entries WHERE seq > ? ORDER BY seq LIMIT ?",
          {good, static_cast<std::int64_t>(page)});
      if (rows.empty()) return verifier.result();
      for (const SqlRow& row : rows) {
        if (const auto why = look_at(row, verifier)) return {false, good, good + 1, *why};
        if (!verifier.result().whole) return verifier.result();
        good = verifier.head().seq;
      }
    }
  } catch (const StoreError& fault) {
    if (fault.fault() != StoreFault::damaged) throw;
    return {false, good, good + 1, fault.what()};
  }
}

CarriedOut carry_out(StoredLogbook& logbook, const Request& request, const Person& person,
                     const Catalogue& catalogue, const Standing& standing) {
  // Whoever comes second in a race sees a longer logbook and decides again; each round means that someone got
  // through.
  constexpr int most_rounds = 1000;
  for (int round = 0; round < most_rounds; ++round) {
    const Head head = logbook.head();
    if (auto earlier = logbook.of_request(request.id); !earlier.empty()) return earlier;
    const std::vector<Entry> told = logbook.of_box(request.box);
    const auto answer = request.box == whole_shop
                            ? decide_for_shop(request, person, replay_shop(told))
                            : decide(replay(request.box, told), request, person, catalogue, standing);
    if (const auto* refusal = std::get_if<Refusal>(&answer)) return *refusal;
    const Draft draft{standing.now, person.name, request.id, request.box,
                      std::get<std::vector<EntryBody>>(answer)};
    Appended appended = logbook.append(append(head, draft));
    if (appended.how != Appended::How::head_moved_on) return std::move(appended.entries);
  }
  throw StoreError(StoreFault::busy, "the record: too many others are writing; try again in a moment");
}

}  // namespace boxfettle
