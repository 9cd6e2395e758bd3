#include "app/serve_command.hpp"

#include <fmt/format.h>
#include <sys/wait.h>
#include <CLI/CLI.hpp>

#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <functional>
#include <memory>

#include "app/description.hpp"
#include "app/lan.hpp"
#include "app/live_place.hpp"
#include "app/terminal.hpp"
#include "io/live/kept_process.hpp"
#include "io/live/socket_client.hpp"

namespace amphora::app {
namespace {

struct ServeOptions {
    std::string system;
    LanOptions lan;
    std::string rehearsal;
};

constexpr std::chrono::seconds page_waits(5);

/// Keeps both processes up until this one is told to end.
class Household {
public:
    Household(const ServeOptions& options, std::filesystem::path socket)
        : signals_(loop_, SIGCHLD, SIGINT, SIGTERM),
          timer_(loop_),
          socket_(std::move(socket)),
          recorder_(loop_, "recorder", recorder_arguments(options), [this](int code) { end(code); }),
          page_(loop_, "page server", page_arguments(options), [this](int code) { end(code); }) {}

    Exit run() {
        wait_for_signal();
        recorder_.start();
        open_page_when_measuring(std::chrono::steady_clock::now() + page_waits);
        loop_.run();
        return static_cast<Exit>(code_);
    }

private:
    static std::vector<std::string> recorder_arguments(const ServeOptions& options) {
        std::vector<std::string> arguments{"record", "--system", options.system};
        if (!options.rehearsal.empty()) arguments.insert(arguments.end(), {"--rehearsal-clock", options.rehearsal});
        return arguments;
    }
    static std::vector<std::string> page_arguments(const ServeOptions& options) {
        std::vector<std::string> arguments{"page", "--system", options.system};
        const auto lan = words_of(options.lan);
        arguments.insert(arguments.end(), lan.begin(), lan.end());
        return arguments;
    }

    void wait_for_signal() {
        signals_.async_wait([this](boost::system::error_code error, int signal) {
            if (error) return;
            if (signal == SIGCHLD)
                gather();
            else
                end(0);
            if (!done()) wait_for_signal();
        });
    }
    void gather() {
        int status = 0;
        for (pid_t child = ::waitpid(-1, &status, WNOHANG); child > 0; child = ::waitpid(-1, &status, WNOHANG))
            if (!recorder_.ended(child, status)) page_.ended(child, status);
    }
    /// A page must not be announced beside a recorder that ends at once; but it shows the past without one.
    void open_page_when_measuring(std::chrono::steady_clock::time_point latest) {
        timer_.expires_after(std::chrono::milliseconds(50));
        timer_.async_wait([this, latest](boost::system::error_code error) {
            if (error || ending_) return;
            const auto answering = live::process_behind(socket_);
            if ((answering && *answering == recorder_.process()) || std::chrono::steady_clock::now() >= latest)
                page_.start();
            else
                open_page_when_measuring(latest);
        });
    }
    void end(int code) {
        if (code_ == 0) code_ = code;
        ending_ = true;
        timer_.cancel();
        recorder_.end();
        page_.end();
    }
    [[nodiscard]] bool done() const { return ending_ && recorder_.process() < 0 && page_.process() < 0; }

    boost::asio::io_context loop_{1};
    boost::asio::signal_set signals_;
    boost::asio::steady_timer timer_;
    std::filesystem::path socket_;
    live::KeptProcess recorder_;
    live::KeptProcess page_;
    int code_ = 0;
    bool ending_ = false;
};

/// Asks for the passphrase while a person watches; and shows the code for the first device.
std::expected<void, Exit> open_to_others(const ServeOptions& options, const RecordPlace& place) {
    if (!reaches_out(options.lan)) return {};
    access::Visitors visitors{access::StateFile(access_beside(place.file))};
    if (auto ready = ensure_passphrase(visitors, options.lan); !ready || !is_watched(stderr)) return ready;
    if (visitors.devices().empty() && options.lan.port != 0)
        return print_invitation(visitors, page_place(options.lan, options.lan.port), access::Role::full);
    fmt::print(stderr, "`amphora devices invite --system {}` lets another device in.\n", options.system);
    return {};
}

Exit serve(const ServeOptions& options) {
    const auto place = locate_record({options.system, {}});
    if (!place) return place.error();
    if (const auto open = open_to_others(options, *place); !open) return open.error();
    return Household(options, socket_beside(place->file)).run();
}

}  // namespace

Command serve_command(CLI::App& program) {
    auto& command =
        add_command(program, "serve", "Measure, and show it on a page: the recorder and the page server",
                    {"amphora serve van.toml                        # the page at http://127.0.0.1:8765/",
                     "amphora serve van.toml --lan                  # for the telephones in the van's network too"});
    auto options = std::make_shared<ServeOptions>();
    add_description_option(command, options->system)->required();
    add_lan_options(command, options->lan);
    command.add_option("--rehearsal-clock", options->rehearsal, "a file that says how time goes, for rehearsals")
        ->type_name("FILE")
        ->group("");
    return {&command, [options] { return serve(*options); }};
}

}  // namespace amphora::app
