#include "service/box_on_record.hpp"

#include "corebox/box_file.hpp"
#include "input/whole_file.hpp"

namespace boxfettle {

namespace fs = std::filesystem;

fs::path kept_file(const StoredFiles& files, const ContentHash& hash, const std::string& name) {
  const auto path = files.find(hash);
  if (!path)
    throw InputError(name, "", "is no longer among the kept files",
                     "restore the data folder from its backup");
  return *path;
}

std::optional<CoreBox> box_on_record(const BoxRegistered& registered, const StoredFiles& files) {
  if (!registered.box_file) return {};
  const std::string name = "box file";
  const WholeFile text(kept_file(files, *registered.box_file, name));
  return told_by_name(name, [&] { return parse_box_file(text.text(), name); });
}

DesignFile design_on_record(const BoxRegistered& registered, const std::optional<CoreBox>& box,
                            const StoredFiles& files, const StepReading& step) {
  const std::string name = registered.design_name.empty() ? "design" : registered.design_name;
  if (!registered.design)
    throw InputError(name, "", "the box has no design on record",
                     "register it again with the design of its core");
  const fs::path path = kept_file(files, *registered.design, name);
  return told_by_name(name, [&] { return read_design_file(path, box ? &*box : nullptr, step); });
}

}  // namespace boxfettle
