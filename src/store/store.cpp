#include "store/store.hpp"

#include "input/input_error.hpp"

namespace boxfettle {
namespace {

std::filesystem::path database_in(const std::filesystem::path& dir) {
  std::error_code error;
  std::filesystem::create_directories(dir, error);
  if (error)
    throw InputError(dir.string(), "", error.message(), "name a directory that this user may write to");
  return dir / "boxfettle.sqlite";
}

}  // namespace

Store::Store(const std::filesystem::path& dir, const StoreSettings& settings)
    : database_(database_in(dir)),
      logbook(database_),
      people(database_, settings.passphrase_cost),
      jobs(database_),
      readings(database_),
      shots(database_),
      measurements(database_),
      files(dir / "files") {}

}  // namespace boxfettle
