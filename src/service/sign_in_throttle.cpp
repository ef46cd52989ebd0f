#include "service/sign_in_throttle.hpp"

namespace boxfettle {
namespace {

constexpr std::size_t many_keys = 10'000;

std::string key_of_name(const std::string& name) {
  return "name " + name;
}
std::string key_of_address(const std::string& address) {
  return "address " + address;
}

}  // namespace

std::optional<std::chrono::seconds> SignInThrottle::begin_try(const std::string& name,
                                                              const std::string& address, UtcTime now) {
  const std::scoped_lock lock(mutex_);
  if (tries_.size() > many_keys) forget_old(now);
  if (auto seconds = wait(key_of_name(name), limits_.wrong_per_name, now)) return seconds;
  if (auto seconds = wait(key_of_address(address), limits_.wrong_per_address, now)) return seconds;
  count(key_of_name(name), now);
  count(key_of_address(address), now);
  return {};
}

void SignInThrottle::was_right(const std::string& name, const std::string& address) {
  const std::scoped_lock lock(mutex_);
  tries_.erase(key_of_name(name));
  const auto found = tries_.find(key_of_address(address));
  if (found != tries_.end() && found->second.wrong > 0) --found->second.wrong;
}

std::optional<std::chrono::seconds> SignInThrottle::wait(const std::string& key, int most,
                                                         UtcTime now) const {
  const auto found = tries_.find(key);
  if (found == tries_.end() || found->second.wrong < most) return {};
  const auto left = found->second.window_begin + limits_.window - now;
  if (left.count() <= 0) return {};
  return std::chrono::ceil<std::chrono::seconds>(left);
}

void SignInThrottle::count(const std::string& key, UtcTime now) {
  Tries& tries = tries_[key];
  if (tries.wrong == 0 || now - tries.window_begin >= limits_.window) tries = {now, 0};
  ++tries.wrong;
}

void SignInThrottle::forget_old(UtcTime now) {
  std::erase_if(tries_, [&](const auto& item) { return now - item.second.window_begin >= limits_.window; });
}

}  // namespace boxfettle
