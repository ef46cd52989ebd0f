#include "paper/input_file.hpp"

#include "input/whole_file.hpp"
#include "shop/content_hash.hpp"

namespace boxfettle {

InputFile input_file(const std::filesystem::path& path) {
  const WholeFile whole(path);
  return {path.string(), whole.bytes().size(), content_hash(whole.bytes()).hex()};
}

}  // namespace boxfettle
