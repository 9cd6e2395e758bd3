// What all sources share: channels and their scale, health, and coming back after trouble.
#pragma once

#include <boost/asio/steady_timer.hpp>
#include <string>
#include <vector>

#include "io/live/live_source.hpp"

namespace amphora::live {

/// A channel of a source, ready to be used.
struct PlugChannel {
    std::size_t index = 0;  // in System::live.channels
    const described::Channel* description = nullptr;
    double factor = 1.0;  // value = factor * raw + shift
    double shift = 0.0;
};

/// Derive a source from this: implement open() and close(), call opened(), deliver() and broken().
class PlugSource : public LiveSource {
public:
    explicit PlugSource(const SourceContext& context);

    void start(Sink sink) final;
    void stop() final;
    [[nodiscard]] const described::Source& description() const final { return description_; }
    [[nodiscard]] const SourceHealth& health() const final { return health_; }

protected:
    /// Begins to connect, without waiting. Then call opened(), or broken() with the reason. May be called again after
    /// close().
    virtual void open() = 0;
    /// Lets go of everything. What is still under way must find out that it is over (see run()).
    virtual void close() = 0;

    /// The connection stands.
    void opened();
    /// The connection failed or broke: close() is called, and open() again after a pause (1 s, doubling up to 60 s).
    void broken(const std::string& why);

    /// All that there was has been given: a log has ended. close() is called, and nothing is tried again.
    void ended(const std::string& why);
    /// Something that a person must deal with, while other readings go on: told as the trouble until the next delivery.
    void complain(const std::string& why) { health_.trouble = why; }

    /// Takes the raw figure of a channel (by its place in channels()); false and counted when it cannot be true.
    bool take(std::size_t channel, double raw);
    /// Something unreadable came.
    void refuse() { ++health_.refused; }
    /// Gives what was taken since the last delivery to the sink, as samples of this moment.
    void deliver(BootTime at);
    void deliver() { deliver(clock().now()); }

    /// Calls `task` every interval of the description, until close(): for sources that are asked.
    void every_interval(std::function<void()> task);

    /// Counts the calls of open(); a handler that was started in an earlier run must do nothing.
    [[nodiscard]] std::uint64_t run() const { return run_; }

    [[nodiscard]] const std::vector<PlugChannel>& channels() const { return channels_; }
    [[nodiscard]] const BootClock& clock() const { return clock_; }
    [[nodiscard]] boost::asio::io_context& loop() const { return loop_; }
    [[nodiscard]] const System& system() const { return system_; }

private:
    void reopen();
    void ask_after(BootTime due, const std::function<void()>& task, std::uint64_t run);

    boost::asio::io_context& loop_;
    const BootClock& clock_;
    const System& system_;
    const described::Source& description_;
    std::vector<PlugChannel> channels_;
    boost::asio::steady_timer timer_;
    Sink sink_;
    SourceHealth health_;
    std::vector<LiveSample> taken_;
    std::uint64_t run_ = 0;
    Second pause_{1.0};
    bool failed_ = false;
};

}  // namespace amphora::live
