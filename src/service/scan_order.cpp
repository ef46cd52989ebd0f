#include "service/scan_order.hpp"

#include <algorithm>
#include <charconv>

#include "reading/scan_subject.hpp"

namespace boxfettle {
namespace {

constexpr std::string_view found_out = "auto";

// The text up to the next blank, which is taken away with it.
std::string_view next_word(std::string_view& text) {
  const std::size_t end = std::min(text.find(' '), text.size());
  const std::string_view word = text.substr(0, end);
  text.remove_prefix(std::min(end + 1, text.size()));
  return word;
}

}  // namespace

std::string written(const ScanOrder& order) {
  std::string text(order.unit ? name(*order.unit) : found_out);
  if (order.of != ScanSubject::core || order.design_body) text += " " + std::string(name(order.of));
  if (order.design_body) text += " " + std::to_string(*order.design_body);
  return text;
}

std::optional<ScanOrder> scan_order(std::string_view text) {
  ScanOrder order;
  const std::string_view unit = next_word(text);
  order.unit = length_unit_named(unit);
  if (!order.unit && unit != found_out) return std::nullopt;
  if (text.empty()) return order;
  const auto of = scan_subject_named(next_word(text));
  if (!of) return std::nullopt;
  order.of = *of;
  if (text.empty()) return order;
  std::uint32_t body = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), body);
  if (fault != std::errc{} || end != text.data() + text.size() || body == 0) return std::nullopt;
  order.design_body = body;
  return order;
}

}  // namespace boxfettle
