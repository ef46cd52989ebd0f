// Figures and words as the report prints them.
#pragma once

#include <string>
#include <string_view>

#include "reading/scan_reading.hpp"

namespace boxfettle {

std::string signed_figure(double value, int decimals);  // "+0.243", "−0.180": a true minus sign
std::string figure(double value, int decimals);         // "12.5", "−0.2"
std::string thousands(std::size_t count);               // "1 234 567"
std::string capitals(std::string_view word);            // "CANNOT TELL" of "cannot-tell"
std::string_view meaning(ScanVerdict verdict);          // one sentence under the word

// What is drawn beside a finding's number on the views: "+0.24", nothing for a place that was not seen.
std::string depth_label(const Finding& finding);

}  // namespace boxfettle
