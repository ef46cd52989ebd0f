// Bad input, told so that the person who gave it can mend it.
#pragma once

#include <stdexcept>
#include <string>

namespace boxfettle {

// Thrown at the boundary where a file, a flag or a request is read and found wrong. Never thrown for a bug of
// ours. The message is one line: "<file>: <place>: <what>; <mend>". Control characters in any part are shown
// as '?'.
class InputError : public std::runtime_error {
 public:
  InputError(std::string file, std::string place, std::string what, std::string mend);

  const std::string& file() const { return file_; }  // path or flag as the person gave it
  const std::string& place() const {
    return place_;
  }  // "line 12", "byte 80", "dowel[1].pin_mm"; may be empty
  const std::string& fault() const { return fault_; }  // what is wrong
  const std::string& mend() const { return mend_; }    // what to do about it

 private:
  std::string file_, place_, fault_, mend_;
};

}  // namespace boxfettle
