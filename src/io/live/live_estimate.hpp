// What is believed of the battery while it is measured: the same pipeline as everywhere, brought up to date from the
// record in a thread of its own, so that measuring and guarding need not wait for it.
#pragma once

#include <atomic>
#include <boost/asio/io_context.hpp>
#include <deque>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "core/pipeline/pipeline.hpp"
#include "io/live/checkpoint.hpp"
#include "io/live/full_watch.hpp"

namespace amphora::live {

struct EstimateFiles {
    std::filesystem::path record;
    std::filesystem::path checkpoint;
    std::string fingerprint;  // of the description
};

class LiveEstimate {
public:
    LiveEstimate(boost::asio::io_context& loop, const System& system, EstimateFiles files);
    LiveEstimate(const LiveEstimate&) = delete;
    LiveEstimate& operator=(const LiveEstimate&) = delete;
    ~LiveEstimate();

    /// Begins to read the record; readings that come meanwhile wait and are taken afterwards. Where the record must be
    /// read from its beginning, what the checkpoint remembers goes on meanwhile, or what the newest thirty days say
    /// alone: a wider band, but no guard is blind for so long.
    void catch_up();
    /// Forgets the past until the next catch_up(): the readings of the record are being moved by so much. What was
    /// believed last stands until then.
    void forget(std::int64_t shift_us);

    void push(const Reading& reading);

    /// Nothing as long as there never was a reading; and until the record is read, unless a checkpoint tells something.
    [[nodiscard]] const std::optional<Estimate>& now() const { return now_; }
    /// The same of the charge alone, for the guards; also what a checkpoint of another build or for another description
    /// said of it, if that is no more than an hour older than the record, as long as nothing better is known.
    [[nodiscard]] Uncertain<Fraction> state_of_charge() const { return now_ ? now_->state_of_charge : remembered_; }
    [[nodiscard]] std::optional<SinceFull> since_full() const { return full_.since(); }
    /// True once the record is read.
    [[nodiscard]] bool ready() const { return pipeline_ != nullptr; }
    /// Why the record could not be read; empty otherwise.
    [[nodiscard]] const std::string& trouble() const { return trouble_; }

    /// What is remembered now, to be saved once the readings so far are safe; nothing while it is not ready.
    [[nodiscard]] std::optional<Checkpoint> snapshot() const;
    [[nodiscard]] const EstimateFiles& files() const { return files_; }

private:
    struct Past {
        std::unique_ptr<Pipeline> pipeline;
        FullWatch full;
        std::int64_t until_us = INT64_MIN;
        std::uint64_t readings = 0;
        std::string trouble;
    };
    using GiveUp = std::shared_ptr<std::atomic<bool>>;
    [[nodiscard]] Past read_record(const GiveUp& give_up);
    void offer_meanwhile(const GiveUp& give_up, Past past);
    void go_on_meanwhile(Past past);
    void arrive(Past past);
    void take(const Reading& reading);
    void let_go();

    boost::asio::io_context& loop_;
    const System& system_;
    EstimateFiles files_;
    std::unique_ptr<Pipeline> pipeline_;
    std::unique_ptr<Pipeline> meanwhile_;  // until pipeline_ is there
    FullWatch full_;
    std::int64_t until_us_ = INT64_MIN;
    std::uint64_t readings_ = 0;
    std::optional<Estimate> now_;
    Uncertain<Fraction> remembered_{Fraction::missing(), Fraction::missing()};
    std::deque<Reading> waiting_;
    std::string trouble_;
    GiveUp give_up_;  // of the newest thread
    std::vector<std::thread>
        threads_;  // the newest last; those before it only have to find out that they are not needed
};

}  // namespace amphora::live
