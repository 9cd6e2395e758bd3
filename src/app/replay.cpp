#include "app/replay.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <utility>

#include "core/estimate/hindsight_path.hpp"
#include "io/document/plot/log_plot.hpp"
#include "io/intake/log_check.hpp"
#include "io/intake/unpack.hpp"
#include "io/sink/estimates_csv.hpp"
#include "io/sink/spool.hpp"

namespace amphora::app {
namespace {

constexpr Second between_looks{60.0};  // the chart and the honesty need an estimate at least this often
constexpr Second finding_out{86'400.0};

ReplayFailure failure(const source::SourceError& error) {
    const auto exit = error.fault == source::SourceFault::cannot_open   ? Exit::no_input
                      : error.fault == source::SourceFault::cannot_read ? Exit::io
                                                                        : Exit::data;
    return {exit, error.message};
}

ReplayFailure failure(const sink::SinkError& error) {
    return {error.fault == sink::SinkFault::cannot_create ? Exit::cannot_create : Exit::io, error.message};
}

// Moments at round multiples of a span.
class Beat {
public:
    explicit Beat(Second span) : span_us_(std::max<std::int64_t>(1, std::llround(span.value() * 1e6))) {}
    [[nodiscard]] bool due(Instant at) const { return at.us >= next_us_; }
    void took(Instant at) { next_us_ = (at.us / span_us_ + 1) * span_us_; }

private:
    std::int64_t span_us_;
    std::int64_t next_us_ = 0;
};

// An estimate put aside until hindsight is known.
struct Look {
    Estimate said;
    bool row = false;  // in the estimates file too
};

class ReplayRun {
public:
    ReplayRun(const ReplayRequest& request, const System& system, source::CsvReader reader,
              const ReplayProgress& progress)
        : request_(request),
          system_(system),
          progress_(progress),
          reader_(std::move(reader)),
          pipeline_(system, {.keep_for_hindsight = request.hindsight}),
          row_beat_(request.every) {}

    std::expected<void, ReplayFailure> open_outputs() {
        if (!request_.estimates.empty()) {
            auto file = sink::OutputFile::create(request_.estimates);
            if (!file) return std::unexpected(failure(file.error()));
            rows_.emplace(std::move(*file));
        }
        if (!request_.plot.empty()) {
            auto file = sink::OutputFile::create(request_.plot);
            if (!file) return std::unexpected(failure(file.error()));
            plot_file_.emplace(std::move(*file));
        }
        if (request_.hindsight) {
            auto spool = sink::Spool<Look>::create();
            if (!spool) return std::unexpected(failure(spool.error()));
            spool_.emplace(std::move(*spool));
        }
        return {};
    }

    std::expected<ReplayResult, ReplayFailure> run() {
        for (;;) {
            const auto batch = reader_.next();
            if (!batch) return std::unexpected(failure(batch.error()));
            if (batch->empty()) break;
            for (const auto& reading : *batch) take(reading);
            progress_(reader_.bytes_read(), reader_.bytes_in_all(), reader_.report().readings, "");
        }
        if (reader_.report().readings == 0)
            return std::unexpected(ReplayFailure{
                Exit::data, fmt::format("{}: not one reading in it{}",
                                        request_.log == "-" ? "standard input" : request_.log, why_none())});
        look(true);
        if (auto done = look_back(); !done) return std::unexpected(done.error());
        if (auto done = write_out(); !done) return std::unexpected(done.error());
        return ReplayResult{reader_.report(),
                            check_.warnings(pipeline_.oddities().out_of_range),
                            pipeline_.oddities(),
                            first_,
                            last_,
                            pipeline_.now(),
                            honesty_,
                            honesty_from_};
    }

private:
    void take(const Reading& reading) {
        pipeline_.push(reading);
        check_.push(reading);
        if (plot_file_) trace_.add(reading);
        first_ = std::min(first_, reading.at);
        last_ = std::max(last_, reading.at);
        if (const bool row = row_beat_.due(reading.at); row || look_beat_.due(reading.at)) look(row);
    }

    // Asks the pipeline what it estimates now, if it has moved on since it was asked last.
    void look(bool row) {
        const auto said = pipeline_.now();
        if (said.at <= looked_at_) return;
        looked_at_ = said.at;
        look_beat_.took(said.at);
        if (row) row_beat_.took(said.at);
        if (spool_)
            spool_->keep({said, row});
        else
            tell({said, row}, std::nullopt);
    }

    void tell(const Look& look, const std::optional<Uncertain<Fraction>>& known_now) {
        if (rows_ && look.row) rows_->write(look.said, known_now);
        if (plot_file_) trace_.add(look.said, known_now);
        if (honesty_ && known_now && look.said.at >= honesty_from_) honesty_->add(look.said, *known_now);
    }

    // The second pass: everything that was said, beside what is known now.
    std::expected<void, ReplayFailure> look_back() {
        if (!spool_) return {};
        progress_(0, std::nullopt, 0, "looking back");
        const auto steps = pipeline_.hindsight();
        HindsightPath path(steps);
        honesty_.emplace();
        honesty_from_ = last_ - first_ > finding_out * 2.0 ? first_ + finding_out : first_;
        const auto done = spool_->replay([&](const Look& look) { tell(look, path.at(look.said)); });
        if (!done) return std::unexpected(failure(done.error()));
        return {};
    }

    std::expected<void, ReplayFailure> write_out() {
        if (plot_file_) {
            const plot::LogPlot words{system_.name, system_.battery.reserve, pipeline_.now()};
            const auto kind = plot::page_kind(request_.plot).value_or(plot::PageKind::svg);
            if (auto drawn = plot::draw_log(words, trace_, kind, *std::move(plot_file_)); !drawn)
                return std::unexpected(failure(drawn.error()));
        }
        if (rows_)
            if (auto written = rows_->commit(); !written) return std::unexpected(failure(written.error()));
        return {};
    }

    [[nodiscard]] std::string why_none() const {
        const auto& report = reader_.report();
        if (report.bad == 0) return "";
        return fmt::format("; {} of its lines cannot be read, the first: {}", report.bad,
                           bad_line_words(report.first_bad.front()));
    }

    const ReplayRequest& request_;
    const System& system_;
    const ReplayProgress& progress_;
    source::CsvReader reader_;
    Pipeline pipeline_;
    intake::LogCheck check_{system_};
    Beat row_beat_;
    Beat look_beat_{between_looks};
    Instant looked_at_{-1};
    Instant first_{std::numeric_limits<std::int64_t>::max()}, last_{0};
    plot::LogTrace trace_;
    std::optional<sink::EstimatesCsv> rows_;
    std::optional<sink::OutputFile> plot_file_;
    std::optional<sink::Spool<Look>> spool_;
    std::optional<Honesty> honesty_;
    Instant honesty_from_;
};

}  // namespace

std::expected<ReplayResult, ReplayFailure> replay(const ReplayRequest& request, const System& system,
                                                  const ReplayProgress& progress) {
    auto input = intake::open_log(request.log);
    if (!input) return std::unexpected(failure(input.error()));
    auto reader = source::CsvReader::open(*std::move(input), system);
    if (!reader) return std::unexpected(failure(reader.error()));
    ReplayRun run(request, system, *std::move(reader), progress);
    if (auto opened = run.open_outputs(); !opened) return std::unexpected(opened.error());
    return run.run();
}

}  // namespace amphora::app
