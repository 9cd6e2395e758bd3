// The present as the page server gets it: from the recorder over its socket, by a thread that listens.
#pragma once

#include <atomic>
#include <filesystem>
#include <mutex>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>

#include "io/web/api/live_values.hpp"

namespace amphora::live {

class SocketValues : public web::LiveValues {
public:
    SocketValues(std::filesystem::path socket, System system);
    SocketValues(const SocketValues&) = delete;
    SocketValues& operator=(const SocketValues&) = delete;
    ~SocketValues() override;

    [[nodiscard]] const System& system() const override { return system_; }
    [[nodiscard]] std::optional<web::Present> present() const override;
    [[nodiscard]] std::vector<web::SourceHealth> sources() const override;
    [[nodiscard]] std::vector<std::string> troubles() const override;
    [[nodiscard]] std::vector<web::GuardStanding> guards() const override;
    [[nodiscard]] std::vector<web::GuardAct> acts() const override;

    /// Another description was saved.
    void describe(const System& system) { system_ = system; }

    /// What the recorder said last; null when it does not answer.
    [[nodiscard]] nlohmann::ordered_json newest() const;
    /// Counts what was heard, so that one can see whether there is something new.
    [[nodiscard]] std::uint64_t heard() const { return heard_; }

private:
    void listen();
    void keep(nlohmann::ordered_json now);
    [[nodiscard]] nlohmann::ordered_json guard_list(const char* member) const;

    std::filesystem::path socket_;
    System system_;
    mutable std::mutex mutex_;
    nlohmann::ordered_json newest_;
    nlohmann::ordered_json guards_;  // the answer to {"ask": "guards"}
    std::atomic<std::uint64_t> heard_ = 0;
    std::atomic<bool> ending_ = false;
    std::thread thread_;
};

}  // namespace amphora::live
