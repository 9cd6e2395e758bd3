// Sources as a running recorder reads them. A serial line has one reader: whoever opened it beside the recorder would
// take readings away from the record and the guards.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/exit.hpp"
#include "core/quantity/quantity.hpp"
#include "io/live/socket_client.hpp"

namespace amphora::app {

class Overhearing {
public:
    struct Request {
        std::string system;  // its name
        std::vector<std::string> sources;
        std::optional<Second> length;  // nothing: until it is interrupted
        bool json = false;
    };

    /// Nothing where no recorder answers there, or it is another system's, or does not read all of these sources.
    [[nodiscard]] static std::optional<Overhearing> at(const std::filesystem::path& socket, Request request);

    /// Shows the readings on stdout, four a second at most. ok if every source gave one, unavailable otherwise.
    [[nodiscard]] Exit run();

private:
    Overhearing(live::SocketClient client, Request request)
        : client_(std::move(client)), request_(std::move(request)), shown_us_(request_.sources.size()) {}
    void show(std::size_t source, const live::SocketClient::Json& now);

    live::SocketClient client_;
    Request request_;
    std::vector<std::int64_t> shown_us_;  // of each source: the moment of its newest reading that was shown
};

}  // namespace amphora::app
