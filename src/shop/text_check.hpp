// Which text people may send into the record.
#pragma once

#include <cstddef>
#include <string>

namespace boxfettle {

enum class Empty { allowed, refused };
enum class Lines { one, many };

// Throws InputError naming `place`: empty where it may not be, longer than `most_bytes`, not UTF-8, or with a
// control character (a line's end is none where many lines are allowed).
void check_text(const std::string& text, const std::string& place, std::size_t most_bytes, Empty empty,
                Lines lines);

}  // namespace boxfettle
