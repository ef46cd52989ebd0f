// Files kept by what is in them: DIR/ab/cdef... named by SHA-256. The same content is kept once and never
// changed.
#pragma once

#include <filesystem>
#include <optional>
#include <span>

#include "shop/content_hash.hpp"

namespace boxfettle {

class StoredFiles {
 public:
  // Creates DIR and DIR/incoming.
  explicit StoredFiles(std::filesystem::path dir);

  // Durable on return: written beside, synced, renamed. Throws StoreError.
  ContentHash put(std::span<const std::byte> bytes);

  // Takes over a complete file that lies in `incoming()`, hashing it on the way. It is gone from there
  // afterwards.
  ContentHash adopt(const std::filesystem::path& uploaded);

  // A new name for an upload, on the same disk as the kept files. What a crash left behind there is removed
  // at start.
  std::filesystem::path incoming() const;

  std::optional<std::filesystem::path> find(const ContentHash& hash) const;  // empty when it is not kept

 private:
  std::filesystem::path place_of(const ContentHash& hash) const;
  void keep(const std::filesystem::path& complete, const ContentHash& hash) const;

  std::filesystem::path dir_;
};

}  // namespace boxfettle
