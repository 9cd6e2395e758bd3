// A text that outlasts the program in its newest version, however it ends: each version is a line at the end of a file.
// A line that was put in outlasts a kill, one that is on the device a power cut too, and what is torn is no whole line.
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <mutex>
#include <optional>
#include <stop_token>
#include <string>
#include <thread>

namespace amphora::sink {

class KeptText {
public:
    /// The file is made anew with the first version; what is in it stays until then.
    explicit KeptText(std::filesystem::path file);
    KeptText(const KeptText&) = delete;
    KeptText& operator=(const KeptText&) = delete;
    /// Tries once more what is not yet on the device.
    ~KeptText();

    /// A new version, without a newline in it. Does not wait; one that was not begun yet is passed over.
    void put(std::string version);
    /// Waits until the newest version outlasts a kill, but no longer than that; whether it does. The device may take
    /// longer for it.
    [[nodiscard]] bool wait_written(std::chrono::milliseconds most);
    /// Waits until it is on the device, likewise.
    [[nodiscard]] bool wait(std::chrono::milliseconds most);

private:
    void work(const std::stop_token& stop);
    [[nodiscard]] bool write(const std::string& version, std::uint64_t number);
    [[nodiscard]] bool append(const std::string& line, std::uint64_t number);
    [[nodiscard]] bool begin_anew(const std::string& line);
    void close();

    std::filesystem::path file_;
    int descriptor_ = -1;  // from here to the mutex the thread's own
    std::size_t size_ = 0;
    std::mutex mutex_;
    std::condition_variable_any changed_;
    std::optional<std::string> next_;
    std::uint64_t put_ = 0;      // versions
    std::uint64_t written_ = 0;  // the newest of them that outlasts a kill
    std::uint64_t kept_ = 0;     // and that is on the device
    std::jthread thread_;        // last: it ends before what it uses
};

}  // namespace amphora::sink
