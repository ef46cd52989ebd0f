// What a request line asks for: the path taken apart and the query, decoded once, here.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

struct RequestTarget {
  std::vector<std::string> segments;         // "/api/boxes/TM-0412" -> {"api", "boxes", "TM-0412"}; "/" -> {}
  std::map<std::string, std::string> query;  // the first of two with one name counts
};

// Empty when the target is not a path of our own: no leading '/', longer than 4 KiB, a broken %-escape, a
// control character, text that is not UTF-8, or a segment "." or ".." (plain or escaped): nobody honest sends
// those.
std::optional<RequestTarget> parse_request_target(std::string_view target);

}  // namespace boxfettle
