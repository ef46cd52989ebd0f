// The lines and words of a text file, with the line numbers that a refusal names.
#pragma once

#include <algorithm>
#include <cstring>
#include <string>
#include <string_view>

namespace boxfettle {

inline bool is_blank(char c) {
  return c == ' ' || c == '\t' || c == '\r' || c == '\v' || c == '\f';
}

inline std::string_view without_byte_order_mark(std::string_view text) {
  return text.starts_with("\xEF\xBB\xBF") ? text.substr(3) : text;
}

inline std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

// The next word between blanks, taken off the front of `rest`; empty at its end.
inline std::string_view take_word(std::string_view& rest) {
  std::size_t start = 0;
  while (start < rest.size() && is_blank(rest[start])) ++start;
  std::size_t end = start;
  while (end < rest.size() && !is_blank(rest[end])) ++end;
  const std::string_view word = rest.substr(start, end - start);
  rest.remove_prefix(end);
  return word;
}

// Line after line, however the lines end (LF, CR LF, or CR alone).
class TextLines {
 public:
  explicit TextLines(std::string_view text)
      : rest_(without_byte_order_mark(text)),
        ending_(text.find('\n') == std::string_view::npos && text.find('\r') != std::string_view::npos
                    ? '\r'
                    : '\n') {}

  bool next() {
    if (rest_.empty()) return false;
    const void* const found = std::memchr(rest_.data(), ending_, rest_.size());
    const std::size_t length = found == nullptr
                                   ? rest_.size()
                                   : static_cast<std::size_t>(static_cast<const char*>(found) - rest_.data());
    line_ = trimmed(rest_.substr(0, length));
    rest_.remove_prefix(std::min(length + 1, rest_.size()));
    ++number_;
    return true;
  }
  std::string_view line() const { return line_; }  // without its ending and the blanks around it
  std::string place() const { return "line " + std::to_string(number_); }
  std::size_t left() const {  // lines after this one, at most
    return static_cast<std::size_t>(std::count(rest_.begin(), rest_.end(), ending_)) + 1;
  }

 private:
  std::string_view rest_;
  char ending_;
  std::string_view line_;
  std::size_t number_ = 0;
};

// Word after word, whatever the lines are.
class TextWords {
 public:
  // `first_line` is the number of the line in which `text` begins.
  explicit TextWords(std::string_view text, std::size_t first_line = 1)
      : text_(text), first_line_(first_line) {}

  // Empty at the end.
  std::string_view next() {
    while (at_ < text_.size() && (is_blank(text_[at_]) || text_[at_] == '\n')) ++at_;
    start_ = at_;
    while (at_ < text_.size() && !is_blank(text_[at_]) && text_[at_] != '\n') ++at_;
    return text_.substr(start_, at_ - start_);
  }
  void skip_line() {
    while (at_ < text_.size() && text_[at_] != '\n' && text_[at_] != '\r') ++at_;
  }
  std::size_t left() const { return text_.size() - at_; }  // bytes
  std::string place() const {                              // of the word last given; counted only when asked
    const auto lines = std::count(text_.begin(), text_.begin() + static_cast<std::ptrdiff_t>(start_), '\n');
    return "line " + std::to_string(first_line_ + static_cast<std::size_t>(lines));
  }

 private:
  std::string_view text_;
  std::size_t first_line_;
  std::size_t at_ = 0;
  std::size_t start_ = 0;
};

// A word of a hostile file, short enough for a message.
inline std::string quoted(std::string_view word) {
  const bool long_word = word.size() > 24;
  return "'" + std::string(word.substr(0, 24)) + (long_word ? "...'" : "'");
}

}  // namespace boxfettle
