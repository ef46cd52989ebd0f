#include "shop/logbook.hpp"

#include "input/input_error.hpp"
#include "shop/canonical_text.hpp"

namespace boxfettle {

std::vector<Entry> append(const Head& head, const Draft& draft) {
  std::vector<Entry> entries;
  Head last = head;
  for (const EntryBody& body : draft.bodies) {
    Entry entry{.seq = last.seq + 1,
                .at = draft.at,
                .who = draft.who,
                .request = draft.request,
                .box = draft.box,
                .body = body,
                .previous = last.hash,
                .hash = {}};
    entry.hash = chain_hash(entry.previous, canonical_text(entry));
    last = head_after(entry);
    entries.push_back(std::move(entry));
  }
  return entries;
}

Head head_after(const Entry& entry) {
  return {entry.seq, entry.hash};
}

void ChainVerifier::broken(std::string why) {
  check_.whole = false;
  check_.broken_at = head_.seq + 1;
  check_.why = std::move(why);
}

void ChainVerifier::next(std::string_view canonical_text, const ContentHash& hash) {
  if (!check_.whole) return;
  if (chain_hash(head_.hash, canonical_text) != hash)
    return broken("the text, its hash or the entry before it was changed");
  try {
    const Entry entry = entry_from_text(canonical_text);
    if (entry.seq != head_.seq + 1) return broken("its number is " + std::to_string(entry.seq));
  } catch (const InputError& fault) {
    return broken(fault.what());
  }
  head_ = {head_.seq + 1, hash};
  ++check_.entries;
}

ChainCheck verify(std::span<const Entry> entries) {
  ChainVerifier verifier;
  for (const Entry& entry : entries) {
    if (entry.previous != verifier.head().hash) {
      // Told in the chain's own terms: the stored form has no second copy of the previous hash.
      ChainCheck check = verifier.result();
      if (check.whole)
        check = {false, check.entries, verifier.head().seq + 1, "it does not follow the entry before it"};
      return check;
    }
    std::string text;
    try {
      text = canonical_text(entry);
    } catch (const InputError& fault) {
      return {false, verifier.result().entries, verifier.head().seq + 1, fault.what()};
    }
    verifier.next(text, entry.hash);
    if (!verifier.result().whole) break;
  }
  return verifier.result();
}

}  // namespace boxfettle
