// A Modbus server of libmodbus in a thread of its own, over TCP or on a serial line, whose registers a test sets.
#pragma once

#include <arpa/inet.h>
#include <modbus.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <cstdint>
#include <mutex>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

namespace amphora {

class ModbusPeer {
public:
    /// Over TCP on this machine; port 0 takes a free one. It holds `words` holding and input registers from `first` on.
    explicit ModbusPeer(int port = 0, int first = 0, int words = 200) : context_(modbus_new_tcp("127.0.0.1", port)) {
        map(first, words);
        listener_ = modbus_tcp_listen(context_, 1);
        if (listener_ < 0) throw std::runtime_error("cannot listen");
        thread_ = std::thread([this] { serve_tcp(); });
    }
    /// On a serial line, as one of its devices.
    ModbusPeer(const std::string& device, int number) : device_(device), number_(number) {
        map(0, 200);
        open_line();
        thread_ = std::thread([this] { serve_line(); });
    }
    ModbusPeer(const ModbusPeer&) = delete;
    ModbusPeer& operator=(const ModbusPeer&) = delete;
    ~ModbusPeer() {
        ended_ = true;
        thread_.join();
        if (listener_ >= 0) ::close(listener_);
        modbus_close(context_);
        modbus_mapping_free(mapping_);
        modbus_free(context_);
    }

    void set_holding(int address, const std::vector<std::uint16_t>& words) {
        set(mapping_->tab_registers, address, words);
    }
    void set_input(int address, const std::vector<std::uint16_t>& words) {
        set(mapping_->tab_input_registers, address, words);
    }
    [[nodiscard]] bool coil(int address) {
        const std::scoped_lock lock(mutex_);
        return mapping_->tab_bits[address] != 0;
    }
    [[nodiscard]] int port() const {
        sockaddr_in address{};
        socklen_t size = sizeof address;
        ::getsockname(listener_, reinterpret_cast<sockaddr*>(&address), &size);
        return ntohs(address.sin_port);
    }
    /// From now on it takes every question and answers none.
    void fall_silent() { silent_ = true; }
    /// From now on it answers with bytes that mean nothing.
    void babble() { babbling_ = true; }
    [[nodiscard]] int questions() const { return questions_; }

private:
    void map(int first, int words) {
        const auto count = static_cast<unsigned>(words);
        const auto from = static_cast<unsigned>(first);
        mapping_ = modbus_mapping_new_start_address(0, 16, 0, 16, from, count, from, count);
        first_ = first;
    }
    void set(std::uint16_t* table, int address, const std::vector<std::uint16_t>& words) {
        const std::scoped_lock lock(mutex_);
        for (std::size_t i = 0; i < words.size(); ++i) table[static_cast<std::size_t>(address - first_) + i] = words[i];
    }
    static bool readable(int descriptor) {
        pollfd look{descriptor, POLLIN, 0};
        return ::poll(&look, 1, 10) > 0;
    }
    /// False when the connection is over.
    bool answer() {
        std::array<std::uint8_t, MODBUS_TCP_MAX_ADU_LENGTH> question{};
        const int length = modbus_receive(context_, question.data());
        if (length < 0) return false;
        if (length == 0) return true;
        ++questions_;
        if (silent_) return true;
        if (babbling_) {
            const std::array<char, 9> noise{'\x00', '\xFF', '\x13', '\x37', 'a', 'b', 'c', '\x00', '\x7F'};
            return ::write(modbus_get_socket(context_), noise.data(), noise.size()) > 0;
        }
        const std::scoped_lock lock(mutex_);
        return modbus_reply(context_, question.data(), length, mapping_) >= 0;
    }
    void serve_tcp() {
        while (!ended_) {
            if (!readable(listener_)) continue;
            if (modbus_tcp_accept(context_, &listener_) < 0) continue;
            while (!ended_)
                if (readable(modbus_get_socket(context_)) && !answer()) break;
            modbus_close(context_);
        }
    }
    void open_line() {
        context_ = modbus_new_rtu(device_.c_str(), 9600, 'N', 8, 1);
        modbus_set_slave(context_, number_);
        if (modbus_connect(context_) != 0) throw std::runtime_error("cannot open " + device_);
    }
    // After a question to another device the library takes the next question for that device's answer: begin anew.
    void serve_line() {
        while (!ended_) {
            if (!readable(modbus_get_socket(context_))) continue;
            const int before = questions_;
            answer();
            if (questions_ != before) continue;
            modbus_close(context_);
            modbus_free(context_);
            open_line();
        }
    }

    modbus_t* context_ = nullptr;
    std::string device_;
    int number_ = 0;
    modbus_mapping_t* mapping_ = nullptr;
    int first_ = 0;
    int listener_ = -1;
    std::mutex mutex_;
    std::atomic<bool> ended_{false};
    std::atomic<bool> silent_{false};
    std::atomic<bool> babbling_{false};
    std::atomic<int> questions_{0};
    std::thread thread_;
};

}  // namespace amphora
