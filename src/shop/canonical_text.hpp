// The one way to write an entry down: JSON with sorted keys, no spaces, absent values left out, the shortest
// digits that read back to the same number. The hash covers exactly these bytes.
#pragma once

#include <string>
#include <string_view>

#include "shop/content_hash.hpp"
#include "shop/entry.hpp"

namespace boxfettle {

// Without the two hashes. Throws InputError as `check_body` does.
std::string canonical_text(const Entry& entry);

// The entry with `previous` and `hash` still zero. Throws InputError (file "logbook", place "entry 12" or the
// key) when the text is no entry or not in canonical form.
Entry entry_from_text(std::string_view text);

// SHA-256 over the 64 hexadecimal digits of `previous`, followed by the canonical text.
ContentHash chain_hash(const ContentHash& previous, std::string_view canonical_text);

}  // namespace boxfettle
