#include "app/progress_line.hpp"

#include <unistd.h>

#include <cstdio>

namespace boxfettle {

ProgressLine::ProgressLine() : watched_(::isatty(STDERR_FILENO) == 1) {}

ProgressLine::~ProgressLine() {
  if (shown_) std::fputs("\r\033[K", stderr);
}

void ProgressLine::show(double share_done, std::string_view step) {
  if (!watched_) return;
  std::fprintf(stderr, "\r\033[K%3.0f %%  %.*s", 100 * share_done, static_cast<int>(step.size()),
               step.data());
  shown_ = true;
}

}  // namespace boxfettle
