#include "service/request_target.hpp"

#include <algorithm>
#include <cstdint>

namespace boxfettle {
namespace {

constexpr std::size_t longest_target = 4096;

int hex_value(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

std::optional<std::string> without_escapes(std::string_view text, bool plus_is_space) {
  std::string plain;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '%') {
      if (i + 2 >= text.size()) return {};
      const int high = hex_value(text[i + 1]);
      const int low = hex_value(text[i + 2]);
      if (high < 0 || low < 0) return {};
      plain += static_cast<char>(high * 16 + low);
      i += 2;
    } else {
      plain += plus_is_space && text[i] == '+' ? ' ' : text[i];
    }
  }
  return plain;
}

// RFC 3629: well-formed sequences only, no surrogates, no overlong forms.
bool is_utf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<std::uint8_t>(text[i]);
    const std::size_t length = lead < 0x80       ? 1
                               : lead >> 5 == 6  ? 2
                               : lead >> 4 == 14 ? 3
                               : lead >> 3 == 30 ? 4
                                                 : 0;
    if (length == 0 || i + length > text.size()) return false;
    std::uint32_t code = length == 1 ? lead : lead & (0x7Fu >> length);
    for (std::size_t k = 1; k < length; ++k) {
      const auto next = static_cast<std::uint8_t>(text[i + k]);
      if (next >> 6 != 2) return false;
      code = code << 6 | (next & 0x3Fu);
    }
    constexpr std::uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    if (code < least[length] || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return false;
    i += length;
  }
  return true;
}

bool is_decent(std::string_view text) {
  const auto control = [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; };
  return is_utf8(text) && std::none_of(text.begin(), text.end(), control);
}

std::vector<std::string_view> parts(std::string_view text, char separator) {
  std::vector<std::string_view> found;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(separator), text.size());
    if (end > 0) found.push_back(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return found;
}

bool read_query(std::string_view text, std::map<std::string, std::string>& query) {
  for (const std::string_view pair : parts(text, '&')) {
    const std::size_t equals = std::min(pair.find('='), pair.size());
    const auto key = without_escapes(pair.substr(0, equals), true);
    const auto value = without_escapes(pair.substr(std::min(equals + 1, pair.size())), true);
    if (!key || !value || !is_decent(*key) || !is_decent(*value)) return false;
    query.emplace(*key, *value);
  }
  return true;
}

}  // namespace

std::optional<RequestTarget> parse_request_target(std::string_view target) {
  if (target.empty() || target.front() != '/' || target.size() > longest_target) return {};
  const std::size_t question = std::min(target.find('?'), target.size());
  RequestTarget result;
  for (const std::string_view part : parts(target.substr(0, question), '/')) {
    const auto segment = without_escapes(part, false);
    if (!segment || !is_decent(*segment) || *segment == "." || *segment == "..") return {};
    result.segments.push_back(*segment);
  }
  if (question < target.size() && !read_query(target.substr(question + 1), result.query)) return {};
  return result;
}

}  // namespace boxfettle
