#include <fmt/format.h>

#include <boost/asio/buffer.hpp>
#include <boost/asio/connect.hpp>

#include "io/live/line_source.hpp"

namespace amphora::live {

namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;

void TcpSource::open() {
    const auto target = host_and_port(description().at);
    if (!target) return broken(fmt::format("{}: expected host:port", description().at));
    resolver_.async_resolve(
        target->host, target->port, [this, mine = run()](error_code error, const tcp::resolver::results_type& found) {
            if (mine != run()) return;
            if (error) return broken(fmt::format("{}: {}", description().at, error.message()));
            asio::async_connect(socket_, found, [this, mine](error_code failed, const tcp::endpoint&) {
                if (mine != run()) return;
                if (failed) return broken(fmt::format("{}: {}", description().at, failed.message()));
                error_code ignored;
                ignored = socket_.set_option(asio::socket_base::keep_alive(true), ignored);
                begin_lines(false);
                opened();
                read();
            });
        });
}

void TcpSource::close() {
    resolver_.cancel();
    error_code ignored;
    ignored = socket_.close(ignored);
}

void TcpSource::read() {
    socket_.async_read_some(asio::buffer(room_), [this, mine = run()](error_code error, std::size_t got) {
        if (mine != run()) return;
        if (error) return broken(fmt::format("{}: {}", description().at, error.message()));
        bytes({room_.data(), got});
        if (mine == run()) read();
    });
}

}  // namespace amphora::live
