#include "app/answer_form.hpp"

#include <filesystem>
#include <span>

#include "app/command_line.hpp"
#include "input/replace_file.hpp"

namespace boxfettle {

double confidence(const CommandLine& line) {
  return line.number("--confidence", 0.5, 0.999999).value_or(0.95);
}

Answer answer_in(const CommandLine& line, const std::vector<std::string>& files, const AnswerForms& forms) {
  const std::optional<std::string> picture = line.value("--picture");
  for (const std::string& file : files) {
    std::error_code unknown;
    if (picture && std::filesystem::equivalent(*picture, file, unknown))
      throw WrongUse("--picture would write over " + file + ", which it is made from");
  }
  std::vector<InputFile> inputs;
  if (line.has("--json"))
    for (const std::string& file : files) inputs.push_back(input_file(file));
  Answer answer{line.has("--json") ? forms.json(inputs) : forms.text()};
  if (picture) {
    const std::string drawing = forms.picture();
    replace_file(*picture, std::as_bytes(std::span(drawing)));
  }
  return answer;
}

}  // namespace boxfettle
