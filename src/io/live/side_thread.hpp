// A thread beside the loop, for libraries and devices that make their caller wait.
#pragma once

#include <boost/asio/io_context.hpp>
#include <functional>
#include <memory>

namespace amphora::live {

/// Runs tasks one after another on a thread of its own. What a task needs it must own: the thread is left behind if its
/// task does not end in time, so that nothing ever holds the program up.
class SideThread {
public:
    explicit SideThread(boost::asio::io_context& loop);
    SideThread(const SideThread&) = delete;
    SideThread& operator=(const SideThread&) = delete;
    /// Drops what has not begun, and waits for what has, but no longer than a second.
    ~SideThread();

    /// Called in the loop's thread with what a task left to be done there; not after the end of this object.
    using Then = std::function<void()>;
    /// Runs in the side thread.
    using Task = std::function<Then()>;

    /// Puts a task behind those that wait already.
    void run(Task task);

private:
    struct Shared;
    std::shared_ptr<Shared> shared_;
};

}  // namespace amphora::live
