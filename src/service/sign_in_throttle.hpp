// Guessing a passphrase is made slow: after some wrong ones, a name and an address have to wait.
#pragma once

#include <chrono>
#include <map>
#include <mutex>
#include <optional>
#include <string>

#include "shop/utc_time.hpp"

namespace boxfettle {

class SignInThrottle {
 public:
  struct Limits {
    std::chrono::seconds window{60};
    int wrong_per_name = 8;  // in one window; keeps a guesser slow, and locks nobody out for longer than it
    int wrong_per_address = 30;  // a whole floor may share one address
  };
  explicit SignInThrottle(Limits limits) : limits_(limits) {}
  SignInThrottle() : SignInThrottle(Limits{}) {}

  // Counts a try as wrong until `was_right` says otherwise, so that tries sent side by side count as well.
  // Returns how long to wait when there were too many; such a try is not counted.
  std::optional<std::chrono::seconds> begin_try(const std::string& name, const std::string& address,
                                                UtcTime now);
  void was_right(const std::string& name, const std::string& address);

 private:
  struct Tries {
    UtcTime window_begin;
    int wrong = 0;
  };
  std::optional<std::chrono::seconds> wait(const std::string& key, int most, UtcTime now) const;
  void count(const std::string& key, UtcTime now);
  void forget_old(UtcTime now);

  const Limits limits_;
  std::mutex mutex_;
  std::map<std::string, Tries> tries_;
};

}  // namespace boxfettle
