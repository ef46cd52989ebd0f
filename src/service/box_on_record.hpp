// What the shop's record keeps of a box: its box file and its design, read from the kept files.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "corebox/core_box.hpp"
#include "geometry/several_bodies.hpp"
#include "input/input_error.hpp"
#include "reading/design_file.hpp"
#include "shop/entry.hpp"
#include "store/stored_files.hpp"

namespace boxfettle {

// Throws InputError naming `name` when the file is no longer among the kept ones.
std::filesystem::path kept_file(const StoredFiles& files, const ContentHash& hash, const std::string& name);

// Absent when the box was registered without a box file.
std::optional<CoreBox> box_on_record(const BoxRegistered& registered, const StoredFiles& files);

// Throws InputError when the box has no design on record.
DesignFile design_on_record(const BoxRegistered& registered, const std::optional<CoreBox>& box,
                            const StoredFiles& files, const StepReading& step);

// People know the file by the name they gave it; on the disk it is named by its content.
template <class Read>
auto told_by_name(const std::string& name, const Read& read) -> decltype(read()) {
  try {
    return read();
  } catch (const SeveralBodies& error) {
    throw SeveralBodies(name, error.choice(), error.mend());
  } catch (const InputError& error) {
    const std::string place = error.place().empty() ? name : name + ", " + error.place();
    throw InputError(name, place, error.fault(), error.mend());
  }
}

}  // namespace boxfettle
