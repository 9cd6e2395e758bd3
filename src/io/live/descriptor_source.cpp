#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <boost/asio/buffer.hpp>
#include <cerrno>
#include <system_error>

#include "io/live/line_source.hpp"
#include "io/live/serial_device.hpp"

namespace amphora::live {

namespace asio = boost::asio;

void DescriptorSource::open() {
    const auto& d = description();
    const bool standard_input = d.kind == described::SourceKind::standard_input;
    const auto descriptor = standard_input ? duplicate_input() : open_serial(d.at, d.serial);
    if (!descriptor) return broken(descriptor.error());
    boost::system::error_code error;
    error = stream_.assign(*descriptor, error);
    if (error) {
        ::close(*descriptor);
        return broken(standard_input ? "the standard input is a file; it must be a pipe or a terminal"
                                     : fmt::format("{}: {}", d.at, error.message()));
    }
    begin_lines(!standard_input);
    opened();
    read();
}

void DescriptorSource::close() {
    boost::system::error_code ignored;
    ignored = stream_.close(ignored);
}

void DescriptorSource::read() {
    stream_.async_read_some(asio::buffer(room_),
                            [this, mine = run()](boost::system::error_code error, std::size_t got) {
                                if (mine != run()) return;
                                if (error) {
                                    const bool over = error == asio::error::eof;
                                    return broken(over ? fmt::format("{}: nothing more comes", description().name)
                                                       : fmt::format("{}: {}", description().at, error.message()));
                                }
                                bytes({room_.data(), got});
                                if (mine == run()) read();
                            });
}

}  // namespace amphora::live
