// How much the server lets one client, and all clients together, take.
#pragma once

#include <chrono>
#include <cstddef>

namespace amphora::web {

/// Past any of these a request is refused or its connection dropped; none of them grows with what a client sends.
struct Limits {
    std::size_t header_bytes = 8192;                // request line and headers together
    std::chrono::milliseconds header_time{10'000};  // from the first byte awaited to the end of the header
    std::chrono::milliseconds body_time{10'000};
    std::chrono::milliseconds idle_time{30'000};  // between two requests of one connection
    std::chrono::milliseconds write_time{30'000};
    std::chrono::milliseconds heartbeat{15'000};  // silence on an event stream before a comment is sent
    std::size_t connections = 512;                // past it, who has waited longest without a request gives way
    std::size_t event_streams = 256;
    std::size_t events_waiting = 64;  // for one slow listener, before it is dropped
    std::size_t errands = 4;          // waiting and being done, of all clients; each may take tens of megabytes
    int event_send_buffer = 65536;    // bytes that the kernel may hold for one listener
};

}  // namespace amphora::web
