#include "paper/input_file.hpp"

#include <algorithm>

#include "input/file_bytes.hpp"
#include "shop/content_hash.hpp"

namespace boxfettle {

InputFile input_file(const std::filesystem::path& path) {
  constexpr std::size_t at_once = 1 << 18;
  const FileBytes file(path);
  FileBytes::Room room;
  ContentHasher hasher;
  for (std::size_t at = 0; at < file.size(); at += at_once)
    hasher.add(file.stretch(at, std::min(at_once, file.size() - at), room));
  return {path.string(), file.size(), hasher.finish().hex()};
}

}  // namespace boxfettle
