// What can go wrong with the record on disk. What people hand in wrongly is an InputError; this is the disk's
// side.
#pragma once

#include <stdexcept>
#include <string>

namespace boxfettle {

enum class StoreFault {
  full,     // no room left: nothing of the change was kept
  busy,     // another process held the record for longer than the busy timeout
  damaged,  // the file is not what was written
  denied,   // permissions, read-only disk
  disk,     // reading or writing failed
};

class StoreError : public std::runtime_error {
 public:
  StoreError(StoreFault fault, const std::string& message) : std::runtime_error(message), fault_(fault) {}
  StoreFault fault() const { return fault_; }

 private:
  StoreFault fault_;
};

}  // namespace boxfettle
