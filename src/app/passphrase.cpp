#include "app/passphrase.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>

#include "io/access/passphrase.hpp"

namespace amphora::app {
namespace {

constexpr std::array caught{SIGINT, SIGTERM, SIGHUP, SIGQUIT};
volatile std::sig_atomic_t signal_seen = 0;
void note_signal(int signal) { signal_seen = signal; }

// The terminal without echo. It is put back as it was whatever happens, a signal included.
class QuietTerminal {
public:
    QuietTerminal() : terminal_(::isatty(STDIN_FILENO) == 1 ? ::open("/dev/tty", O_RDWR | O_CLOEXEC) : -1) {
        if (terminal_ < 0 || ::tcgetattr(terminal_, &before_) != 0) return;
        signal_seen = 0;
        struct sigaction note{};
        note.sa_handler = note_signal;  // without SA_RESTART: the read ends
        for (std::size_t i = 0; i < caught.size(); ++i) ::sigaction(caught.at(i), &note, &handlers_.at(i));
        termios quiet = before_;
        quiet.c_lflag &= ~static_cast<tcflag_t>(ECHO);
        ready_ = ::tcsetattr(terminal_, TCSAFLUSH, &quiet) == 0;
        changed_ = true;
    }
    QuietTerminal(const QuietTerminal&) = delete;
    QuietTerminal& operator=(const QuietTerminal&) = delete;
    QuietTerminal(QuietTerminal&&) = delete;
    QuietTerminal& operator=(QuietTerminal&&) = delete;
    ~QuietTerminal() {
        if (changed_) {
            ::tcsetattr(terminal_, TCSAFLUSH, &before_);
            for (std::size_t i = 0; i < caught.size(); ++i) ::sigaction(caught.at(i), &handlers_.at(i), nullptr);
        }
        if (terminal_ >= 0) ::close(terminal_);
        if (changed_ && signal_seen != 0) std::raise(signal_seen);
    }

    [[nodiscard]] bool ready() const { return ready_; }
    void say(const std::string& text) const { (void)!::write(terminal_, text.data(), text.size()); }

    /// False when it was broken off.
    bool line(const std::string& question, std::string& answer) const {
        say(question);
        answer.clear();
        char c = 0;
        while (signal_seen == 0 && ::read(terminal_, &c, 1) == 1 && c != '\n') answer += c;
        say("\n");
        return signal_seen == 0 && c == '\n';
    }

private:
    int terminal_;
    termios before_{};
    std::array<struct sigaction, caught.size()> handlers_{};
    bool ready_ = false;
    bool changed_ = false;
};

}  // namespace

std::expected<std::string, std::string> passphrase_in(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    std::string line;
    if (!in || !std::getline(in, line))
        return std::unexpected(fmt::format("{}: no passphrase can be read from it: {}", file,
                                           errno == 0 ? "it is empty" : std::strerror(errno)));
    if (line.ends_with('\r')) line.pop_back();
    if (const auto fault = access::passphrase_fault(line); !fault.empty())
        return std::unexpected(fmt::format("{}: {}", file, fault));
    return line;
}

std::string passphrase_credential() {
    const char* folder = std::getenv("CREDENTIALS_DIRECTORY");  // NOLINT(concurrency-mt-unsafe): read at the start
    if (folder == nullptr) return "";
    const auto file = std::filesystem::path(folder) / "passphrase";
    std::error_code none;
    return std::filesystem::exists(file, none) ? file.string() : "";
}

std::expected<std::string, std::string> ask_passphrase() {
    const QuietTerminal terminal;
    if (!terminal.ready()) return std::unexpected(std::string("there is no terminal to ask for a passphrase at"));
    terminal.say(
        "Other devices will sign in with a passphrase. Choose one: four words that do not belong together are "
        "good.\n");
    for (;;) {
        std::string first, second;
        if (!terminal.line("Passphrase (it is not shown): ", first))
            return std::unexpected(std::string("no passphrase was given"));
        if (const auto fault = access::passphrase_fault(first); !fault.empty()) {
            terminal.say(fault + "\n");
            continue;
        }
        if (!terminal.line("The same again: ", second)) return std::unexpected(std::string("no passphrase was given"));
        if (first == second) return first;
        terminal.say("They are not the same.\n");
    }
}

}  // namespace amphora::app
