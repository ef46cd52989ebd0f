// In which form an answer is wanted: words or JSON on standard output, and a picture in a file beside it.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "app/command.hpp"
#include "paper/input_file.hpp"

namespace boxfettle {

class CommandLine;

inline constexpr Option picture_option{"--picture", "OUT.svg", "write the answer as a drawing, too"};
inline constexpr Option confidence_option{"--confidence", "SHARE",
                                          "of every interval, above 0.5 and below 1 (default 0.95)"};

double confidence(const CommandLine& line);

struct AnswerForms {
  std::function<std::string(const std::vector<InputFile>&)> json;
  std::function<std::string()> text, picture;
};
// Throws WrongUse when the picture would be written over one of `files`.
Answer answer_in(const CommandLine& line, const std::vector<std::string>& files, const AnswerForms& forms);

}  // namespace boxfettle
