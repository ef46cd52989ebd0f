// A queued scan made into a reading: files in, values out. Nothing is written here.
#pragma once

#include <cstdint>
#include <functional>
#include <string_view>

#include "shop/box_state.hpp"
#include "shop/entry.hpp"
#include "store/job_queue.hpp"
#include "store/stored_files.hpp"
#include "store/stored_readings.hpp"

namespace boxfettle {

inline constexpr const char* scan_reading_job = "scan-reading";

// The largest scan file a reading is tried with: what is kept of a scan in memory, at its worst text points,
// stays within some eight times its file.
inline constexpr std::uint64_t most_scan_bytes = std::uint64_t{1} << 30;

struct FinishedScanJob {
  StoredReading kept;  // under an id made from the job's: done twice, it is written once
  ScanRead entry;      // for the logbook
};

// `progress` as in ScanSettings. Throws InputError when the scan, the design or the box file is at fault, and
// ReadingCancelled when `progress` said stop.
FinishedScanJob do_scan_job(const Job& job, const BoxState& box, const StoredFiles& files,
                            const std::function<bool(double, std::string_view)>& progress);

}  // namespace boxfettle
