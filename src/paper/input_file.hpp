// Which file a figure came from: named in every JSON object, so that a result can be traced to its bytes.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>

namespace boxfettle {

struct InputFile {
  std::string file;
  std::size_t size = 0;
  std::string sha256;  // lower-case hex
};

// Throws InputError when the file cannot be read.
InputFile input_file(const std::filesystem::path& path);

}  // namespace boxfettle
