// boxfettle verify: is the logbook as it was written?
#include "app/verify_command.hpp"

#include <filesystem>
#include <nlohmann/json.hpp>

#include "app/command_line.hpp"
#include "input/input_error.hpp"
#include "input/whole_file.hpp"
#include "store/stored_logbook.hpp"

namespace boxfettle {
namespace {

constexpr std::string_view cut_short =
    "a logbook that lost its last entries is still whole: compare the head with the one you noted before";

std::filesystem::path record_in(const std::string& dir) {
  std::filesystem::path record = std::filesystem::path(dir) / "boxfettle.sqlite";
  if (!std::filesystem::exists(record))
    throw InputError(dir, "", "holds no record (boxfettle.sqlite)", "name the data directory of the shop");
  return record;
}

std::string as_json(const std::filesystem::path& record, const ChainCheck& check, const Head& head) {
  const WholeFile file(record);
  nlohmann::json out{{"boxfettle", BOXFETTLE_VERSION},
                     {"inputs",
                      {{{"file", record.string()},
                        {"size", file.bytes().size()},
                        {"sha256", content_hash(file.bytes()).hex()}}}},
                     {"notes", {cut_short}},
                     {"whole", check.whole},
                     {"entries", check.entries}};
  if (check.broken_at) out["broken_at"] = *check.broken_at;
  if (!check.whole) out["why"] = check.why;
  if (check.whole) out["head"] = {{"seq", head.seq}, {"hash", head.hash.hex()}};
  return out.dump(2) + "\n";
}

std::string as_text(const ChainCheck& check, const Head& head) {
  if (!check.whole)
    return "The logbook is NOT whole. Entry " + std::to_string(check.broken_at.value_or(0)) +
           " does not fit: " + check.why + ".\n" + std::to_string(check.entries) +
           " entries before it are as they were written. Keep a copy of the record and restore the last "
           "backup.\n";
  return "The logbook is whole: " + std::to_string(check.entries) + " entries.\nHead: entry " +
         std::to_string(head.seq) + ", " + head.hash.hex() + "\nNote it: " + std::string(cut_short) + ".\n";
}

Answer verified(const CommandLine& line) {
  const std::filesystem::path record = record_in(line.needed("--data"));
  Database database(record);
  StoredLogbook logbook(database);
  const ChainCheck check = logbook.verify();
  const Head head = check.whole ? logbook.head() : Head{};
  return {line.has("--json") ? as_json(record, check, head) : as_text(check, head),
          check.whole ? exit_done : exit_failed};
}

}  // namespace

Command verify_command() {
  return {.name = "verify",
          .purpose = "Check that no entry of the logbook was changed since it was written.",
          .operands = {},
          .options = {{"--data", "DIR", "the shop's data directory", true}, json_option},
          .example =
              "  boxfettle verify --data /srv/tarnmoor\n"
              "  The logbook is whole: 18204 entries.\n"
              "  Head: entry 18204, 5f0c...\n\n"
              "Every entry carries the hash of the one before it, so one changed letter shows. Leaves with 5 "
              "when\n"
              "the logbook is not whole. docs/how/logbook.md shows how to check it by hand.\n",
          .run = verified};
}

}  // namespace boxfettle
