#include "input/input_error.hpp"

#include <utility>

namespace boxfettle {
namespace {

// A file name or a token of a hostile file must not move the terminal's cursor or break the promised single
// line.
std::string printable(std::string text) {
  for (char& c : text) {
    const auto u = static_cast<unsigned char>(c);
    if (u < 0x20 || u == 0x7f) c = '?';
  }
  return text;
}

std::string one_line(const std::string& file, const std::string& place, const std::string& fault,
                     const std::string& mend) {
  std::string line = file;
  for (const std::string* part : {&place, &fault}) {
    if (part->empty()) continue;
    if (!line.empty()) line += ": ";
    line += *part;
  }
  if (!mend.empty()) line += "; " + mend;
  return printable(std::move(line));
}

}  // namespace

InputError::InputError(std::string file, std::string place, std::string what, std::string mend)
    : std::runtime_error(one_line(file, place, what, mend)),
      file_(std::move(file)),
      place_(std::move(place)),
      fault_(std::move(what)),
      mend_(std::move(mend)) {}

}  // namespace boxfettle
