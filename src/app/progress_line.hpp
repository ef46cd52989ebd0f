// How far the work has come, on one line of standard error, and only where someone watches it.
#pragma once

#include <string_view>

namespace boxfettle {

class ProgressLine {
 public:
  ProgressLine();
  ~ProgressLine();  // wipes the line
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;

  void show(double share_done, std::string_view step);

 private:
  bool watched_;
  bool shown_ = false;
};

}  // namespace boxfettle
