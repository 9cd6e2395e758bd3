#include "app/serve_command.hpp"

#include <fmt/format.h>
#include <sys/wait.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <csignal>
#include <functional>
#include <memory>

#include "app/live_place.hpp"
#include "app/page_command.hpp"
#include "io/live/kept_process.hpp"

namespace amphora::app {
namespace {

struct Options {
    std::string system;
    std::string address;
    std::uint16_t port = 8765;
    std::string rehearsal;
};

/// Keeps both processes up until this one is told to end.
class Household {
public:
    explicit Household(const Options& options)
        : signals_(loop_, SIGCHLD, SIGINT, SIGTERM),
          recorder_(loop_, "recorder", recorder_arguments(options), [this](int code) { end(code); }),
          page_(loop_, "page server", page_arguments(options), [this](int code) { end(code); }) {}

    Exit run() {
        wait_for_signal();
        recorder_.start();
        page_.start();
        loop_.run();
        return static_cast<Exit>(code_);
    }

private:
    static std::vector<std::string> recorder_arguments(const Options& options) {
        std::vector<std::string> arguments{"record", "--system", options.system};
        if (!options.rehearsal.empty()) arguments.insert(arguments.end(), {"--rehearsal-clock", options.rehearsal});
        return arguments;
    }
    static std::vector<std::string> page_arguments(const Options& options) {
        std::vector<std::string> arguments{"page", "--system", options.system, "--port", std::to_string(options.port)};
        if (!options.address.empty()) arguments.insert(arguments.end(), {"--address", options.address});
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
    void end(int code) {
        if (code_ == 0) code_ = code;
        ending_ = true;
        recorder_.end();
        page_.end();
    }
    [[nodiscard]] bool done() const { return ending_ && recorder_.process() < 0 && page_.process() < 0; }

    boost::asio::io_context loop_{1};
    boost::asio::signal_set signals_;
    live::KeptProcess recorder_;
    live::KeptProcess page_;
    int code_ = 0;
    bool ending_ = false;
};

}  // namespace

Command serve_command(CLI::App& program) {
    auto& command =
        add_command(program, "serve", "Measure, and show it on a page: the recorder and the page server",
                    {"amphora serve van.toml                        # the page at http://127.0.0.1:8765/",
                     "amphora serve van.toml --address 192.168.8.1  # telephones in the van's own network may look"});
    auto options = std::make_shared<Options>();
    command.add_option("system", options->system, "description of the system")->type_name("SYSTEM.toml")->required();
    command.add_option("--port", options->port, "port of the page")->capture_default_str()->type_name("N");
    command.add_option("--address", options->address, "address of the page; if not given, this computer's own only")
        ->check(CLI::Validator(address_fault, ""))
        ->type_name("IP");
    command.add_option("--rehearsal-clock", options->rehearsal, "a file that says how time goes, for rehearsals")
        ->type_name("FILE")
        ->group("");
    return {&command, [options] { return Household(*options).run(); }};
}

}  // namespace amphora::app
