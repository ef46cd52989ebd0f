// Writing a file so that whoever opens it finds the old one or the new one, never half of one.
#pragma once

#include <cstddef>
#include <filesystem>
#include <span>

namespace boxfettle {

// Written under a temporary name beside `path`, synced to disk, then renamed over it; the folder is synced
// too. Throws InputError naming `path` when the place cannot be written; nothing is left behind then.
void replace_file(const std::filesystem::path& path, std::span<const std::byte> bytes);

}  // namespace boxfettle
