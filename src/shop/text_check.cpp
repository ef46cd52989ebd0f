#include "shop/text_check.hpp"

#include <nlohmann/json.hpp>

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

[[noreturn]] void wrong(const std::string& place, const std::string& what, const std::string& mend) {
  throw InputError("", place, what, mend);
}

bool is_utf8(const std::string& text) {
  try {
    (void)nlohmann::json(text).dump();
    return true;
  } catch (const nlohmann::json::exception&) {
    return false;
  }
}

}  // namespace

void check_text(const std::string& text, const std::string& place, std::size_t most_bytes, Empty empty,
                Lines lines) {
  if (text.empty() && empty == Empty::refused) wrong(place, "is empty", "fill it in");
  if (text.size() > most_bytes)
    wrong(place, "is longer than " + std::to_string(most_bytes) + " bytes", "say it in fewer words");
  for (const char c : text) {
    const auto u = static_cast<unsigned char>(c);
    if (u == 0x7f || (u < 0x20 && !(lines == Lines::many && c == '\n')))
      wrong(place, "holds a control character", "take it out");
  }
  if (!is_utf8(text)) wrong(place, "is not UTF-8 text", "send UTF-8");
}

}  // namespace boxfettle
