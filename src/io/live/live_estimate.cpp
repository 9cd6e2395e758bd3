#include "io/live/live_estimate.hpp"

#include <boost/asio/post.hpp>
#include <utility>

#include "io/record/reader.hpp"

namespace amphora::live {
namespace {

constexpr Second longest_remembered(3600.0);
constexpr Second newest_days(30 * 24 * seconds_per_hour);  // read in a tenth of a second

}  // namespace

LiveEstimate::LiveEstimate(boost::asio::io_context& loop, const System& system, EstimateFiles files)
    : loop_(loop), system_(system), files_(std::move(files)) {}

LiveEstimate::~LiveEstimate() {
    let_go();
    for (std::thread& thread : threads_) thread.join();
}

// Not waited for: the guards would have to wait too.
void LiveEstimate::let_go() {
    if (give_up_) *give_up_ = true;
}

void LiveEstimate::forget(std::int64_t shift_us) {
    let_go();
    pipeline_.reset();
    meanwhile_.reset();
    if (now_) now_->at.us += shift_us;
    waiting_.clear();
}

void LiveEstimate::catch_up() {
    let_go();
    give_up_ = std::make_shared<std::atomic<bool>>(false);
    threads_.emplace_back([this, give_up = give_up_] {
        auto past = std::make_shared<Past>(read_record(give_up));
        if (*give_up) return;
        boost::asio::post(loop_, [this, give_up, past] {
            if (!*give_up) arrive(std::move(*past));
        });
    });
}

LiveEstimate::Past LiveEstimate::read_record(const GiveUp& give_up) {
    const auto anew = [this] { return Past{std::make_unique<Pipeline>(system_), {}, INT64_MIN, 0, {}}; };
    Past past = anew();
    const auto reader = record::Reader::open(files_.record);
    if (!reader) {
        past.trouble = reader.error().message;
        return past;
    }
    const auto replay = [&](std::int64_t from_us) {
        const auto read =
            reader->visit({from_us, INT64_MAX}, [&](const ledger::Columns& columns, std::size_t i, std::size_t end) {
                if (*give_up) return;
                past.until_us = columns.time_us[end - 1];
                past.readings += end - i;
                for (; i < end; ++i)
                    if (past.pipeline->push(columns.reading(i))) past.full.follow(past.pipeline->evidence());
            });
        if (!read) past.trouble = read.error().message;
    };
    const auto extent = reader->extent();
    if (const auto kept = load_checkpoint(past.pipeline->memory(), files_.fingerprint, files_.checkpoint)) {
        past.pipeline = std::make_unique<Pipeline>(system_, kept->memory);
        past.full = kept->full;
        past.until_us = kept->until_us;
        past.readings = kept->readings;
        replay(kept->until_us + 1);
        if (past.readings == reader->count()) return past;
        // Something was imported or moved since: the record is the truth, but takes its time.
        offer_meanwhile(give_up, std::exchange(past, anew()));
    } else if (extent && Instant{extent->to_us} - Instant{extent->from_us} > newest_days * 2.0) {
        replay((Instant{extent->to_us} + newest_days * -1.0).us);
        offer_meanwhile(give_up, std::exchange(past, anew()));
    } else if (const auto belief = load_belief(files_.checkpoint); belief && extent) {
        const Second older = Instant{extent->to_us} - belief->at;
        boost::asio::post(loop_, [this, give_up, older, charge = belief->state_of_charge] {
            if (!*give_up && older <= longest_remembered) remembered_ = charge;
        });
    }
    replay(INT64_MIN);
    return past;
}

void LiveEstimate::offer_meanwhile(const GiveUp& give_up, Past past) {
    boost::asio::post(loop_, [this, give_up, meanwhile = std::make_shared<Past>(std::move(past))] {
        if (!*give_up) go_on_meanwhile(std::move(*meanwhile));
    });
}

void LiveEstimate::go_on_meanwhile(Past past) {
    if (now_ || past.until_us == INT64_MIN) return;
    meanwhile_ = std::move(past.pipeline);
    for (const Reading& reading : waiting_)
        if (reading.at.us > past.until_us) (void)meanwhile_->push(reading);
    now_ = meanwhile_->now();
}

void LiveEstimate::arrive(Past past) {
    meanwhile_.reset();
    pipeline_ = std::move(past.pipeline);
    full_ = past.full;
    until_us_ = past.until_us;
    readings_ = past.readings;
    trouble_ = std::move(past.trouble);
    // Later than the record as it was read, not than each other: of lines that came at once two may be of one moment.
    for (const Reading& reading : std::exchange(waiting_, {}))
        if (reading.at.us > past.until_us) take(reading);
    now_.reset();
    if (until_us_ != INT64_MIN) now_ = pipeline_->now();
}

void LiveEstimate::push(const Reading& reading) {
    if (!ready()) {
        waiting_.push_back(reading);
        if (!meanwhile_) return;
        (void)meanwhile_->push(reading);
        now_ = meanwhile_->now();
        return;
    }
    take(reading);
    now_ = pipeline_->now();
}

void LiveEstimate::take(const Reading& reading) {
    if (pipeline_->push(reading)) full_.follow(pipeline_->evidence());
    until_us_ = reading.at.us;
    ++readings_;
}

std::optional<Checkpoint> LiveEstimate::snapshot() const {
    if (!ready() || !trouble_.empty() || until_us_ == INT64_MIN) return std::nullopt;
    return Checkpoint{pipeline_->memory(), full_, until_us_, readings_, pipeline_->now().state_of_charge};
}

}  // namespace amphora::live
