// What happens in the shop, told at once to everyone who listens.
#pragma once

#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace boxfettle {

// Safe from any thread.
class EventFeed {
 public:
  // One open stream. Text waits here until its connection takes it; whoever falls more than 256 KiB behind is
  // cut off
  // (`lost`) and asks again from the start, so a stalled tablet costs no memory.
  class Listener {
   public:
    // All that waits, as text/event-stream; empty when nothing does.
    std::string take();
    bool lost() const;
    // Called from the thread that publishes, each time text arrives or the listener is lost.
    void wake_with(std::function<void()> wake);

   private:
    friend class EventFeed;
    void add(std::string_view text);

    mutable std::mutex mutex_;
    std::string waiting_;
    bool lost_ = false;
    std::function<void()> wake_;
  };

  std::shared_ptr<Listener> listen();

  // `data` is one line of JSON.
  void publish(std::string_view event, std::string_view data);

 private:
  std::mutex mutex_;
  std::vector<std::weak_ptr<Listener>> listeners_;
};

}  // namespace boxfettle
