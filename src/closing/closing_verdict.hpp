// What a check of how a box closes comes to.
#pragma once

#include <string_view>

namespace boxfettle {

enum class ClosingVerdict { fit, watch, hold, cannot_tell };

inline std::string_view name(ClosingVerdict verdict) {
  switch (verdict) {
    case ClosingVerdict::fit:
      return "fit";
    case ClosingVerdict::watch:
      return "watch";
    case ClosingVerdict::hold:
      return "hold";
    case ClosingVerdict::cannot_tell:
      break;
  }
  return "cannot-tell";
}

}  // namespace boxfettle
