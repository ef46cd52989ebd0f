// Text with figures in it, formatted as printf does it, however long it gets.
#pragma once

#include <algorithm>
#include <cstdio>
#include <string>

namespace boxfettle {

template <typename... Values>
std::string printed(const char* format, Values... values) {
  std::string text(static_cast<std::size_t>(std::max(std::snprintf(nullptr, 0, format, values...), 0)), '\0');
  std::snprintf(text.data(), text.size() + 1, format, values...);
  return text;
}

template <typename... Values>
std::string printed_line(const char* format, Values... values) {
  return printed(format, values...) + "\n";
}

}  // namespace boxfettle
