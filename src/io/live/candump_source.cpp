#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <boost/asio/buffer.hpp>
#include <cerrno>
#include <cstring>

#include "io/live/rvc_source.hpp"
#include "io/live/serial_device.hpp"
#include "io/source/rvc/candump_line.hpp"

namespace amphora::live {
namespace {

namespace asio = boost::asio;

bool is_file(const std::string& path) {
    struct stat about{};
    return ::stat(path.c_str(), &about) == 0 && S_ISREG(about.st_mode);
}

// Opened for writing too, a pipe does not end when its writer does: the next one can go on.
std::expected<int, std::string> open_pipe(const std::string& path) {
    if (path == "-") return duplicate_input();
    const int descriptor = ::open(path.c_str(), O_RDWR | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
    if (descriptor < 0) return std::unexpected(fmt::format("{}: {}", path, std::strerror(errno)));
    return descriptor;
}

}  // namespace

void CandumpSource::open() {
    const auto& path = description().at;
    cutter_.begin(false);
    if (is_file(path)) {
        auto log = source::open_input(path);
        if (!log) return broken(log.error().message);
        log_ = std::move(*log);
        lines_.emplace(*log_);
        first_.reset();
        opened();
        return play();
    }
    const auto descriptor = open_pipe(path);
    if (!descriptor) return broken(descriptor.error());
    boost::system::error_code error;
    error = stream_.assign(*descriptor, error);
    if (error) {
        ::close(*descriptor);
        return broken(fmt::format("{}: expected a file or a pipe: {}", path, error.message()));
    }
    opened();
    read();
}

void CandumpSource::close() {
    boost::system::error_code ignored;
    ignored = stream_.close(ignored);
    pause_.cancel();
    lines_.reset();
    log_.reset();
}

void CandumpSource::read() {
    stream_.async_read_some(asio::buffer(room_),
                            [this, mine = run()](boost::system::error_code error, std::size_t got) {
                                if (mine != run()) return;
                                if (error == asio::error::eof) return ended("nothing more comes");
                                if (error) return broken(fmt::format("{}: {}", description().at, error.message()));
                                auto too_long = cutter_.cut({room_.data(), got}, [&](std::string_view line) {
                                    candump_line(line);
                                    return mine == run();
                                });
                                for (; too_long > 0; --too_long) refuse();
                                if (mine == run()) read();
                            });
}

// A line that lies before the first is due at once. Without times nobody knows the pace: a hundred lines a second are
// those of a quiet bus.
Second CandumpSource::until_due(std::string_view line) {
    const auto read = rvc::read_candump_line(line);
    if (!read) return Second(0.0);
    if (!read->at) return Second(0.01);
    const auto now = clock().now();
    if (!first_) {
        first_ = read->at;
        began_ = now;
    }
    return *read->at - *first_ - (now - began_);
}

void CandumpSource::play() {
    const auto mine = run();
    std::string_view line;
    while (lines_->next(line)) {
        if (lines_->too_long()) {
            refuse();
            continue;
        }
        const auto wait = until_due(line);
        if (wait > Second(0.0)) {
            line_ = line;
            pause_.expires_after(clock().wait(wait));
            pause_.async_wait([this, mine](boost::system::error_code error) {
                if (error || mine != run()) return;
                candump_line(line_);
                if (mine == run()) play();
            });
            return;
        }
        candump_line(line);
        if (mine != run()) return;
    }
    ended(fmt::format("{}: the log has ended", description().at));
}

}  // namespace amphora::live
