// The box file: a core box written down as TOML. docs/how/box-file.md shows every key.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "corebox/core_box.hpp"

namespace boxfettle {

// Throws InputError naming the file, the line or key ("dowel[2].pin_mm"), what is wrong and how to mend it:
// not TOML, a needed key missing, a wrong type, a number out of its sensible range or not finite, an unknown
// key (most likely a misspelling), two parts with one id, a name outside its closed set.
CoreBox read_box_file(const std::filesystem::path& path);

// The same from text already in memory; `file` is only used in messages.
CoreBox parse_box_file(std::string_view toml, const std::string& file);

// TOML that parse_box_file reads back to an equal box.
std::string write_box_file(const CoreBox& box);

}  // namespace boxfettle
