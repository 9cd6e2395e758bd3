#include "io/live/recorder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/asio/post.hpp>
#include <future>
#include <utility>

#include "io/record/reader.hpp"

namespace amphora::live {
namespace {

constexpr Second tick_every(1.0);
constexpr Instant plausible_from{1'735'689'600'000'000};  // 2025: a clock that says less was never set

std::optional<Instant> newest_in(const std::filesystem::path& file) {
    const auto reader = record::Reader::open(file);
    if (!reader) return std::nullopt;
    const auto extent = reader->extent();
    return extent ? std::optional(Instant{extent->to_us - 1}) : std::nullopt;
}

}  // namespace

std::expected<std::unique_ptr<Recorder>, std::string> Recorder::open(boost::asio::io_context& loop,
                                                                     const BootClock& clock, const System& system,
                                                                     RecorderSettings settings) {
    if (system.live.sources.empty())
        return std::unexpected(
            "the description has no [[source]]: nothing to measure with; see docs/howto/connect-a-meter.md");
    const BootPlace guess = first_place(clock.wall(), clock.now(), newest_in(settings.files.record));
    record::WriterOptions options;
    options.durability = system.live.durability;
    options.days = settings.days;
    auto recording = Recording::open(settings.files.record, std::move(options), clock.boot_id(), guess,
                                     clock.wait(system.live.durability));
    if (!recording) return std::unexpected(recording.error().message);
    std::unique_ptr<Recorder> recorder(new Recorder(loop, clock, system, std::move(settings), std::move(*recording)));
    for (std::size_t i = 0; i < system.live.sources.size(); ++i) {
        auto source = make_source({loop, clock, system, i});
        if (!source) return std::unexpected(source.error());
        recorder->sources_.push_back(std::move(*source));
    }
    if (const auto listening = recorder->socket_.listen(recorder->settings_.socket); !listening)
        return std::unexpected(listening.error());
    return recorder;
}

Recorder::Recorder(boost::asio::io_context& loop, const BootClock& clock, const System& system,
                   RecorderSettings settings, std::unique_ptr<Recording> recording)
    : loop_(loop),
      clock_(clock),
      system_(system),
      settings_(std::move(settings)),
      recording_(std::move(recording)),
      placement_(recording_->place()),
      estimate_(loop, system, settings_.files),
      board_(system.live),
      socket_(loop),
      timer_(loop),
      started_(clock.now()),
      past_open_(recording_->health().open) {
    for (const described::Channel& c : system.live.channels)
        seen_.push_back({.measures = c.measures == Measurand::shunt_drop ? Measurand::current : c.measures,
                         .of = c.of,
                         .whose = c.of == Subject::battery ? std::string() : c.whose,
                         .cell = c.measures == Measurand::cell_voltage ? c.cell : 0,
                         .source = system.live.sources[c.source].name});
}

Recorder::~Recorder() = default;

void Recorder::add(std::unique_ptr<Watch> watch) {
    watch->offer_requests(
        [this](const std::string& name, Request request) { socket_.offer(name, std::move(request)); });
    watch->keep_acts(
        {.utc = [this](BootTime at) { return placement_.utc(at); },
         .keep = [this](record::GuardAct act,
                        std::function<void()> safe) { recording_->keep(std::move(act), std::move(safe)); }});
    watches_.push_back(std::move(watch));
}

void Recorder::start(std::function<void()> on_restart) {
    offer_requests(std::move(on_restart));
    kept_ = clock_.now();
    read_past();
    for (const auto& source : sources_) source->start([this](std::span<const LiveSample> samples) { take(samples); });
    note_.ready();
    tick();
}

void Recorder::stop() {
    note_.stopping();
    timer_.cancel();
    for (const auto& source : sources_) source->stop();
    for (const auto& watch : watches_) watch->end();
    if (recording_->health().open) {
        std::promise<void> safe;
        keep_checkpoint([&safe] { safe.set_value(); });
        (void)safe.get_future().wait_for(std::chrono::seconds(10));  // a device that fails must not hold up the end
    }
    recording_.reset();
}

// In this order: what protects comes before what remembers.
void Recorder::take(std::span<const LiveSample> samples) {
    if (samples.empty()) return;
    const BootTime at = samples.front().at;
    for (const LiveSample& sample : samples) board_.put(sample.channel, sample.value, sample.at);
    const auto due = board_.due(at);
    const Reading reading = due ? Reading{placement_.utc(at), due->current, due->voltage, due->temperature} : Reading{};
    if (due) estimate_.push(reading);
    look();
    if (due) recording_->append(reading);
    tell_watchers();
}

void Recorder::look() {
    looked_ = clock_.now();
    const guard::Situation seen = situation();
    for (const auto& watch : watches_) watch->look(seen);
    feed_watchdog();
}

guard::Situation Recorder::situation() {
    const BootTime now = clock_.now();
    for (std::size_t i = 0; i < seen_.size(); ++i) {
        const ChannelBoard::Newest& newest = board_.newest(i);
        seen_[i].value = newest.value;
        seen_[i].age = newest.seen ? now - newest.at : Second::missing();
        seen_[i].silent = board_.silent(i, now);
    }
    const TimedReading battery = board_.battery(now);
    guard::Situation s;
    s.now = now;
    s.up = now - started_;
    s.seen = seen_;
    if (const Instant utc = placement_.utc(now); placement_.synchronised() || utc >= plausible_from) s.utc = utc;
    s.current = battery.current;
    s.voltage = battery.voltage;
    s.temperature = battery.temperature;
    s.age = board_.age(now);
    s.state_of_charge = estimate_.state_of_charge();
    s.reading_past_since = reading_past_since();
    if (const auto& e = estimate_.now()) {
        s.to_empty = {e->to_empty.low, e->to_empty.likely, e->to_empty.high};
    }
    return s;
}

void Recorder::read_past() {
    reading_ = clock_.now();
    estimate_.catch_up();
}

// A record that could not be opened at the start, for lack of room, could not be read either.
void Recorder::look_for_past() {
    if (past_open_ || !recording_->health().open) return;
    past_open_ = true;
    recording_->commit([this] {
        boost::asio::post(loop_, [this] {
            estimate_.forget(0);
            read_past();
        });
    });
}

std::optional<Instant> Recorder::reading_past_since() const {
    if (estimate_.ready()) return std::nullopt;
    return placement_.utc(reading_);
}

// A start that takes no longer than a second is not worth a line.
void Recorder::say_changes() {
    if (!settings_.say) return;
    const std::string trouble = recording_->health().trouble;
    if (trouble != said_trouble_)
        settings_.say(trouble.empty() ? "the record is written as it should be again" : trouble);
    said_trouble_ = trouble;
    const double took = (clock_.now() - reading_).value();
    if (estimate_.ready() && said_ != Said::nothing) {
        settings_.say(fmt::format("the record's past is read, in {:.1f} s", took));
        said_ = Said::nothing;
    }
    if (estimate_.ready() || took < 1.0) return;
    if (estimate_.state_of_charge().mean.known() && said_ != Said::provisional) {
        settings_.say("the record's past is being read; until then how much is left goes by its newest days");
        said_ = Said::provisional;
    } else if (said_ == Said::nothing) {
        settings_.say("the record's past is being read; guards that go by how much is left wait for it");
        said_ = Said::waiting;
    }
}

void Recorder::tick() {
    check_clock();
    look_for_past();
    say_changes();
    if (clock_.now() - looked_ >= tick_every) look();
    if (clock_.now() - told_ >= tick_every) tell_watchers();
    if (clock_.now() - kept_ >= settings_.keep_every) {
        kept_ = clock_.now();
        keep_checkpoint({});
    }
    timer_.expires_after(clock_.wait(tick_every));
    timer_.async_wait([this](boost::system::error_code error) {
        if (!error) tick();
    });
}

// The readings of this boot move once its true time is known; the past is read again then, in its right place.
void Recorder::check_clock() {
    if (moving_) return;
    const auto shift = placement_.correction(clock_.wall(), clock_.now());
    if (!shift) return;
    moving_ = true;
    placement_.move(*shift);
    estimate_.forget(*shift);
    recording_->move_boot(*shift, [this] {
        boost::asio::post(loop_, [this] {
            moving_ = false;
            read_past();
        });
    });
}

void Recorder::keep_checkpoint(std::function<void()> done) {
    recording_->commit([snapshot = estimate_.snapshot(), files = settings_.files, done = std::move(done)] {
        if (snapshot) (void)save(*snapshot, files.fingerprint, files.checkpoint);  // without it a start takes longer
        if (done) done();
    });
}

// Fed only by a finished round: every guard has seen the newest readings and their age. A slow or unplugged meter is
// the guards' business; starting again would neither hurry nor plug it in.
void Recorder::feed_watchdog() {
    if (!note_.watchdog()) return;
    const BootTime now = clock_.now();
    if ((now - fed_) * 4.0 < *note_.watchdog()) return;
    fed_ = now;
    note_.alive();
}

}  // namespace amphora::live
