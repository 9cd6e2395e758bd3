#include "io/live/side_thread.hpp"

#include <boost/asio/post.hpp>
#include <chrono>
#include <condition_variable>
#include <deque>
#include <mutex>
#include <thread>
#include <utility>

namespace amphora::live {

struct SideThread::Shared {
    explicit Shared(boost::asio::io_context& of) : loop(of) {}

    std::mutex mutex;
    std::condition_variable changed;
    std::deque<Task> tasks;
    bool ended = false;  // by the owner: `loop` must not be touched any more
    bool gone = false;   // the thread has left
    boost::asio::io_context& loop;

    static void work(const std::shared_ptr<Shared>& shared);
    static void give_back(const std::shared_ptr<Shared>& shared, Then then);
};

// The owner lives in the loop's thread, so that it cannot end while what was posted runs.
void SideThread::Shared::give_back(const std::shared_ptr<Shared>& shared, Then then) {
    const std::scoped_lock lock(shared->mutex);
    if (shared->ended || !then) return;
    boost::asio::post(shared->loop, [shared, then = std::move(then)] {
        {
            const std::scoped_lock look(shared->mutex);
            if (shared->ended) return;
        }
        then();
    });
}

void SideThread::Shared::work(const std::shared_ptr<Shared>& shared) {
    std::unique_lock lock(shared->mutex);
    for (;;) {
        shared->changed.wait(lock, [&] { return shared->ended || !shared->tasks.empty(); });
        if (shared->ended) break;
        auto task = std::move(shared->tasks.front());
        shared->tasks.pop_front();
        lock.unlock();
        give_back(shared, task());
        task = nullptr;
        lock.lock();
    }
    shared->gone = true;
    shared->changed.notify_all();
}

SideThread::SideThread(boost::asio::io_context& loop) : shared_(std::make_shared<Shared>(loop)) {
    std::thread([shared = shared_] { Shared::work(shared); }).detach();
}

SideThread::~SideThread() {
    std::unique_lock lock(shared_->mutex);
    shared_->ended = true;
    shared_->tasks.clear();
    shared_->changed.notify_all();
    shared_->changed.wait_for(lock, std::chrono::seconds(1), [this] { return shared_->gone; });
}

void SideThread::run(Task task) {
    const std::scoped_lock lock(shared_->mutex);
    shared_->tasks.push_back(std::move(task));
    shared_->changed.notify_all();
}

}  // namespace amphora::live
