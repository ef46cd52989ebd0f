#include "service/file_kind.hpp"

#include <array>
#include <fstream>
#include <string_view>
#include <utility>

namespace boxfettle {
namespace {

std::string head_of(const std::filesystem::path& file) {
  std::array<char, 16> bytes{};
  std::ifstream in(file, std::ios::binary);
  in.read(bytes.data(), bytes.size());
  return std::string(bytes.data(), static_cast<std::size_t>(in.gcount()));
}

}  // namespace

std::string media_type(const std::filesystem::path& file) {
  using namespace std::string_view_literals;
  constexpr std::array<std::pair<std::string_view, const char*>, 4> begins{{
      {"\xFF\xD8\xFF"sv, "image/jpeg"},
      {"\x89PNG\r\n\x1A\n"sv, "image/png"},
      {"%PDF-"sv, "application/pdf"},
      {"ISO-10303-21"sv, "model/step"},
  }};
  const std::string head = head_of(file);
  for (const auto& [begin, type] : begins)
    if (head.starts_with(begin)) return type;
  if (head.starts_with("RIFF") && head.size() >= 12 && head.compare(8, 4, "WEBP") == 0) return "image/webp";
  return "application/octet-stream";
}

}  // namespace boxfettle
