// The process that measures: sources, one reading of the battery made of them, the estimate, the guards, the record,
// and a socket for those who want to know. One loop, one thread; what may wait (the disk, the record's past) has a
// thread of its own. It listens on no network.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <expected>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "core/guard/situation.hpp"
#include "core/meter/channel_board.hpp"
#include "core/system/system.hpp"
#include "io/live/live_estimate.hpp"
#include "io/live/live_json.hpp"
#include "io/live/live_source.hpp"
#include "io/live/recording.hpp"
#include "io/live/socket_server.hpp"
#include "io/live/supervisor_note.hpp"
#include "io/live/watch.hpp"

namespace amphora::live {

struct RecorderSettings {
    EstimateFiles files;
    record::LocalDays days = record::LocalDays::utc();
    std::filesystem::path socket;
    Second keep_every{600.0};  // between checkpoints: a start after a crash reads no more of the record than that
    std::function<void(const std::string& sentence)> say;  // for the log: trouble as it comes and goes
};

class Recorder {
public:
    /// Opens the record and the socket and makes the sources. Fails with a sentence.
    [[nodiscard]] static std::expected<std::unique_ptr<Recorder>, std::string> open(boost::asio::io_context& loop,
                                                                                    const BootClock& clock,
                                                                                    const System& system,
                                                                                    RecorderSettings settings);
    Recorder(const Recorder&) = delete;
    Recorder& operator=(const Recorder&) = delete;
    ~Recorder();

    /// Something that sees every reading. Before start().
    void add(std::unique_ptr<Watch> watch);

    /// Begins to measure; the loop does the rest. `on_restart` is called when someone asks over the socket to start
    /// anew, as after a change of the description.
    void start(std::function<void()> on_restart = {});

    /// Ends in good order: what is switched goes to its safe state, the record and the checkpoint are written.
    void stop();

    /// What {"ask": "now"} answers.
    [[nodiscard]] Json now() const;

private:
    Recorder(boost::asio::io_context& loop, const BootClock& clock, const System& system, RecorderSettings settings,
             std::unique_ptr<Recording> recording);
    void take(std::span<const LiveSample> samples);
    void look();
    void tick();
    void check_clock();
    void read_past();
    void look_for_past();
    void say_changes();
    [[nodiscard]] std::optional<Instant> reading_past_since() const;
    void keep_checkpoint(std::function<void()> done);
    void tell_watchers();
    void feed_watchdog();
    [[nodiscard]] guard::Situation situation();
    [[nodiscard]] Json sources() const;
    [[nodiscard]] Json clock_json() const;
    void offer_requests(std::function<void()> on_restart);

    boost::asio::io_context& loop_;
    const BootClock& clock_;
    const System& system_;
    RecorderSettings settings_;
    std::unique_ptr<Recording> recording_;
    Placement placement_;
    LiveEstimate estimate_;
    ChannelBoard board_;
    SocketServer socket_;
    SupervisorNote note_;
    std::vector<std::unique_ptr<LiveSource>> sources_;
    std::vector<std::unique_ptr<Watch>> watches_;
    std::vector<guard::Seen> seen_;  // of every channel, brought up to date for each look
    boost::asio::steady_timer timer_;
    BootTime started_;
    BootTime looked_, told_, kept_, fed_;
    BootTime reading_;  // the record's past since then
    enum class Said : std::uint8_t { nothing, waiting, provisional } said_ = Said::nothing;
    std::string said_trouble_;
    bool moving_ = false;  // the readings of this boot are being moved
    bool past_open_;       // the record was open when its past was read
};

}  // namespace amphora::live
