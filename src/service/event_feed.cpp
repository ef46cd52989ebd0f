#include "service/event_feed.hpp"

#include <utility>

namespace boxfettle {
namespace {

constexpr std::size_t most_waiting = 256 * 1024;

}  // namespace

std::string EventFeed::Listener::take() {
  const std::scoped_lock lock(mutex_);
  return std::exchange(waiting_, {});
}

bool EventFeed::Listener::lost() const {
  const std::scoped_lock lock(mutex_);
  return lost_;
}

void EventFeed::Listener::wake_with(std::function<void()> wake) {
  const std::scoped_lock lock(mutex_);
  wake_ = std::move(wake);
}

void EventFeed::Listener::add(std::string_view text) {
  std::function<void()> wake;
  {
    const std::scoped_lock lock(mutex_);
    lost_ = lost_ || waiting_.size() + text.size() > most_waiting;
    if (lost_)
      waiting_.clear();
    else
      waiting_ += text;
    wake = wake_;
  }
  if (wake) wake();
}

std::shared_ptr<EventFeed::Listener> EventFeed::listen() {
  auto listener = std::make_shared<Listener>();
  const std::scoped_lock lock(mutex_);
  listeners_.push_back(listener);
  return listener;
}

void EventFeed::publish(std::string_view event, std::string_view data) {
  std::string text;
  text.append("event: ").append(event).append("\ndata: ").append(data).append("\n\n");
  std::vector<std::shared_ptr<Listener>> present;
  {
    const std::scoped_lock lock(mutex_);
    std::erase_if(listeners_, [](const auto& listener) { return listener.expired(); });
    for (const auto& listener : listeners_)
      if (auto alive = listener.lock()) present.push_back(std::move(alive));
  }
  for (const auto& listener : present) listener->add(text);
}

}  // namespace boxfettle
