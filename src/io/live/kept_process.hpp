// A process that is started again whenever it ends.
#pragma once

#include <sys/types.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <functional>
#include <string>
#include <vector>

namespace amphora::live {

class KeptProcess {
public:
    /// `arguments` are those of this very program, without its name. `gave_up` is called when it ended by itself with a
    /// code that would only come again (its configuration is wrong), before it has run for ten seconds; "unavailable"
    /// (a port in use, a record that is another's) counts as such only until it has run for so long once.
    KeptProcess(boost::asio::io_context& loop, std::string name, std::vector<std::string> arguments,
                std::function<void(int code)> gave_up);

    void start();
    /// Asks it to end; it is not started again.
    void end();
    /// To be called when a child of this process ended; true if it was this one.
    bool ended(pid_t process, int status);
    [[nodiscard]] pid_t process() const { return process_; }

private:
    void start_later();

    boost::asio::steady_timer timer_;
    std::string name_;
    std::vector<std::string> arguments_;
    std::function<void(int)> gave_up_;
    pid_t process_ = -1;
    std::chrono::steady_clock::time_point started_;
    std::chrono::milliseconds pause_{500};
    bool settled_ = false;  // it has run well once
    bool ending_ = false;
};

}  // namespace amphora::live
