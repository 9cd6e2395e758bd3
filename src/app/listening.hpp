// Sources of a description, read and shown for a while.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/exit.hpp"
#include "core/system/system.hpp"
#include "io/live/live_source.hpp"

namespace amphora::app {

/// Hours, minutes, seconds and tenths of the day, UTC.
[[nodiscard]] std::string time_of_day(Instant at);

/// A line of JSON on stdout, at once.
void print_line(const nlohmann::ordered_json& json);

class Listening {
public:
    struct Request {
        std::vector<std::size_t> sources;  // indices in System::live.sources
        std::optional<Second> length;      // nothing: until it is interrupted, or no source has more
        bool json = false;
    };

    /// `system` must outlive it.
    Listening(const System& system, Request request);

    /// Shows each reading on stdout, what goes wrong on stderr (with JSON on stdout too), and at the end how the
    /// sources did. ok if every source gave a reading, unavailable otherwise.
    [[nodiscard]] Exit run();

private:
    [[nodiscard]] bool make_sources();
    void show(std::size_t source, std::span<const live::LiveSample> samples);
    void look_at_health();
    void show_trouble(const live::LiveSource& source);
    void show_end(const live::LiveSource& source) const;

    const System& system_;
    Request request_;
    boost::asio::io_context loop_{1};
    boost::asio::signal_set signals_{loop_};
    boost::asio::steady_timer end_{loop_};
    boost::asio::steady_timer look_{loop_};
    std::vector<std::unique_ptr<live::LiveSource>> sources_;
    std::vector<std::string> told_;            // the trouble of each that was shown last
    std::vector<std::uint64_t> told_refused_;  // and how much of each was refused by then
};

}  // namespace amphora::app
