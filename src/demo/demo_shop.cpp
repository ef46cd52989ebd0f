#include "demo/demo_shop.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <system_error>
#include <utility>
#include <vector>

#include "corebox/box_file.hpp"
#include "demo/box_story.hpp"
#include "demo/core_weights.hpp"
#include "demo/invented_cores.hpp"
#include "demo/known_scans.hpp"
#include "demo/shop_boxes.hpp"
#include "demo/shop_entries.hpp"
#include "demo/shop_people.hpp"
#include "demo/shop_story.hpp"
#include "geometry/surface_file.hpp"
#include "input/input_error.hpp"
#include "input/replace_file.hpp"
#include "input/whole_file.hpp"
#include "store/random_id.hpp"
#include "store/store.hpp"

namespace boxfettle::demo {
namespace {

namespace fs = std::filesystem;

using Cores = std::map<std::string, InventedCore, std::less<>>;

Cores invented_cores() {
  Cores cores;
  for (InventedCore (*make)(double) : {pump_volute, ribbed_jacket, stepped_valve_body}) {
    InventedCore core = make(0);
    std::string id = core.box.id;
    cores.emplace(std::move(id), std::move(core));
  }
  return cores;
}

void write_text(const fs::path& file, const std::string& text) {
  replace_file(file, std::as_bytes(std::span(text)));
}

void write_boxes(const fs::path& dir, const Cores& cores) {
  fs::create_directories(dir);
  for (const auto& [id, core] : cores) {
    write_text(dir / (id + ".toml"), write_box_file(core.box));
    write_binary_stl(core.design, dir / core.box.design_file);
  }
}

void write_scans(const fs::path& dir, const std::vector<KnownScan>& scans, const Cores& cores) {
  fs::create_directories(dir);
  for (const KnownScan& scan : scans) write_binary_ply(points_of(scan, cores.at(scan.box)), dir / scan.file);
}

ContentHash kept(Store& store, const fs::path& file) {
  return store.files.put(WholeFile(file).bytes());
}

BoxRegistered registration(const ShopBox& box, const Cores& cores, const fs::path& boxes, Store& store) {
  BoxRegistered known;
  known.name = box.name;
  known.makes = box.makes;
  known.process = name(box.process);
  known.material = name(box.material);
  known.home_place = box.home_place;
  const auto core = cores.find(box.id);
  if (core == cores.end()) return known;
  const CoreBox& details = core->second.box;
  known.limits = {details.limits.surface_mm, details.limits.mismatch_mm, details.limits.gap_mm,
                  details.limits.weight_percent};
  known.box_file = kept(store, boxes / (details.id + ".toml"));
  known.design = kept(store, boxes / details.design_file);
  known.design_name = details.design_file;
  return known;
}

void sign_up_people(Store& store, const std::string& passphrase) {
  const ShopPeople people;
  for (const Person& person : people.operators) store.people.put(person, passphrase);
  for (const Person* person : {&people.supervisor, &people.fitter, &people.quality, &people.tooling})
    store.people.put(*person, passphrase);
}

std::vector<Story> stories(const Cores& cores, const fs::path& boxes, Store& store, UtcTime now) {
  std::vector<Story> told{shop_story(now)};
  for (const ShopBox& box : shop_boxes())
    told.push_back(box_story(box, registration(box, cores, boxes, store), shipped_catalogue(), now));
  return told;
}

// Read by the workers as soon as the shop is served: what the page then shows was computed, not told.
void hand_in_scans(const fs::path& scans_dir, const std::vector<KnownScan>& scans, Store& store,
                   UtcTime now) {
  for (const KnownScan& scan : scans)
    if (scan.handed_in)
      store.jobs.queue({.kind = "scan-reading",
                        .box = scan.box,
                        .who = ShopPeople{}.quality.name,
                        .file_name = scan.file,
                        .file = kept(store, scans_dir / scan.file),
                        .settings = "mm " + std::string(scan.of())},
                       now);
}

std::size_t write_record(const fs::path& dir, const Cores& cores, const std::vector<KnownScan>& scans,
                         const std::string& passphrase, UtcTime now) {
  // A passphrase of 48 random bits that lies beside the record needs no costly hash.
  Store store(dir, {.passphrase_cost = {.passes = 1, .memory_bytes = 8u << 20}});
  sign_up_people(store, passphrase);
  const std::vector<Story> told = stories(cores, dir / "boxes", store, now);
  const std::vector<Entry> entries = entries_of(told, shipped_catalogue());
  const std::size_t written = store.logbook.append(entries).entries.size();
  hand_in_scans(dir / "scans", scans, store, now);
  std::vector<ShotCount> shots;
  for (const Story& story : told) shots.insert(shots.end(), story.shots.begin(), story.shots.end());
  store.shots.add(shots);
  for (const MeasuredSeries& series : measured_series()) store.measurements.add(measurements_of(series, now));
  return written;
}

std::string people_in_words() {
  const ShopPeople people;
  std::string words;
  const auto add = [&](const Person& person) {
    words += "  " + person.name + " (" + std::string(name(person.role)) + ")\n";
  };
  for (const Person& person : people.operators) add(person);
  for (const Person* person : {&people.supervisor, &people.fitter, &people.quality, &people.tooling})
    add(*person);
  return words;
}

// Only the owner of the folder may read it: whoever can, can sign in.
void write_sign_in(const fs::path& file, const std::string& passphrase) {
  write_text(file, "Passphrase: " + passphrase + "\nPeople, all with this passphrase:\n" + people_in_words());
  fs::permissions(file, fs::perms::owner_read | fs::perms::owner_write);
}

std::string readme(const std::vector<KnownScan>& scans) {
  std::string text =
      "Tarnmoor Castings: an invented core shop for trying Boxfettle out. No firm, person or part in it is "
      "real.\n\n"
      "To open it:   boxfettle serve --data THIS_FOLDER\n"
      "To read one scan without the page:\n"
      "  boxfettle scan --design boxes/TM-0427.stl --scan scans/TM-0427-scan-1.ply --box "
      "boxes/TM-0427.toml\n"
      "  boxfettle scan --of half-upper --box boxes/TM-0427.toml --scan scans/TM-0427-upper-half.ply\n\n"
      "boxes/              three core boxes (.toml) with the shape of the core each makes (.stl, mm)\n"
      "scans/              scans of cores from these boxes, and of one half of a box (points, mm), turned and\n"
      "                    shifted at random\n"
      "boxfettle.sqlite    the record: about 40 boxes, two years of entries, people, shot counts, core "
      "weights\n"
      "files/              what the record refers to, named by content\n\n"
      "sign-in.txt         who can sign in, and everybody's passphrase, made up for this folder alone\n"
      "\nWhat is known to be wrong with the box behind each scan, in the design's coordinates (mm). Of the "
      "upper half\n"
      "relative to the lower, about the parting point; wear stands out of the core, build-up lacks on it.\n";
  for (const KnownScan& scan : scans)
    text += "  " + scan.file +
            (scan.handed_in ? "  (handed in: read as soon as the shop is served)\n" : "\n") + in_words(scan);
  text += "\nWhat is known of the weights and sizes that were measured:\n";
  for (const MeasuredSeries& series : measured_series()) text += in_words(series);
  return text;
}

void expect_free(const fs::path& dir) {
  std::error_code ignored;
  if (!fs::exists(fs::symlink_status(dir, ignored))) return;
  if (!fs::is_directory(dir, ignored))
    throw InputError(dir.string(), "", "is no folder", "name a new folder");
  if (!fs::is_empty(dir, ignored) || ignored)
    throw InputError(dir.string(), "", "the folder is not empty", "name a new or an empty folder");
}

// A folder beside the wanted one, gone again unless it was renamed to it.
class FolderInTheMaking {
 public:
  explicit FolderInTheMaking(const fs::path& wanted) : wanted_(fs::absolute(wanted).lexically_normal()) {
    if (!wanted_.has_filename()) wanted_ = wanted_.parent_path();
    making_ = wanted_;
    making_ += ".in-the-making";
    std::error_code why;
    fs::remove_all(making_, why);
    fs::create_directories(making_, why);
    if (why) throw InputError(wanted.string(), "", why.message(), "check the path and its permissions");
  }
  ~FolderInTheMaking() {
    std::error_code ignored;
    if (!making_.empty()) fs::remove_all(making_, ignored);
  }
  FolderInTheMaking(const FolderInTheMaking&) = delete;
  FolderInTheMaking& operator=(const FolderInTheMaking&) = delete;

  const fs::path& path() const { return making_; }
  void done() {
    std::error_code why;
    fs::rename(making_, wanted_, why);
    if (why) throw InputError(wanted_.string(), "", why.message(), "name a new folder");
    making_.clear();
  }

 private:
  fs::path wanted_, making_;
};

}  // namespace

WrittenDemo write_demo(const fs::path& dir, UtcTime now) {
  expect_free(dir);
  FolderInTheMaking folder(dir);
  const std::string passphrase = random_hex(6);
  write_sign_in(folder.path() / "sign-in.txt", passphrase);
  write_text(folder.path() / "shop-name.txt", "Tarnmoor Castings\n");
  const Cores cores = invented_cores();
  const std::vector<KnownScan> scans = known_scans();
  write_boxes(folder.path() / "boxes", cores);
  write_scans(folder.path() / "scans", scans, cores);
  write_text(folder.path() / "README.txt", readme(scans));
  const std::size_t entries = write_record(folder.path(), cores, scans, passphrase, now);
  folder.done();
  return {shop_boxes().size(), entries, scans.size()};
}

}  // namespace boxfettle::demo
