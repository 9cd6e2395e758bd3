#include "app/import_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <cmath>
#include <fstream>
#include <iostream>
#include <memory>

#include "app/record_place.hpp"
#include "app/terminal.hpp"
#include "io/intake/in_turns.hpp"
#include "io/intake/log_reader.hpp"
#include "io/intake/proposal.hpp"
#include "io/intake/unpack.hpp"
#include "io/record/merger.hpp"
#include "io/source/bad_line.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

constexpr std::size_t batch = std::size_t{1} << 18U;
constexpr std::size_t looked_at = std::size_t{4} << 20U;        // bytes of a log
constexpr std::size_t most_looked_at = std::size_t{64} << 20U;  // where dates are in doubt
constexpr double most_bad = 0.01;

struct ImportOptions {
    RecordOptions record;
    std::vector<std::string> logs;
    std::string mapping;
    std::string save_mapping;
    bool yes = false;
    bool bad_lines_too = false;
};

Exit data_error(const std::string& message) {
    fmt::print(stderr, "{}\n", message);
    return Exit::data;
}

Exit source_error(const source::SourceError& error) {
    fmt::print(stderr, "{}\n", error.message);
    return error.fault == source::SourceFault::cannot_open ? Exit::no_input : Exit::data;
}

/// The first part of a log, of which more can be had.
class Beginning {
public:
    static std::expected<Beginning, source::SourceError> of(const std::string& log) {
        auto input = intake::open_log(log);
        if (!input) return std::unexpected(input.error());
        Beginning beginning(std::move(*input));
        if (const auto grown = beginning.grow_to(looked_at); !grown) return std::unexpected(grown.error());
        return beginning;
    }

    /// Whole lines.
    [[nodiscard]] std::string_view text() const {
        const auto end = at_end_ ? text_.size() : text_.rfind('\n');
        return std::string_view(text_).substr(0, end == std::string::npos ? text_.size() : end);
    }

    /// Four times as much; false when there is no more, or enough.
    bool grow() { return !at_end_ && text_.size() < most_looked_at && grow_to(text_.size() * 4).value_or(false); }

private:
    explicit Beginning(std::unique_ptr<source::ByteInput> input) : input_(std::move(input)) {}

    std::expected<bool, source::SourceError> grow_to(std::size_t wanted) {
        std::size_t size = text_.size();
        const std::size_t before = size;
        text_.resize(wanted);
        while (size < wanted && !at_end_) {
            const auto got = input_->read(std::span(text_).subspan(size));
            if (!got && size == 0) return std::unexpected(got.error());
            at_end_ = !got || *got == 0;  // what is broken later is told when it is read
            if (got) size += *got;
        }
        text_.resize(size);
        return size > before;
    }

    std::unique_ptr<source::ByteInput> input_;
    std::string text_;
    bool at_end_ = false;
};

/// The first readings as the mapping gives them.
void print_preview(std::string_view beginning, const intake::Mapping& mapping, const RecordPlace& place) {
    auto reader = intake::LogReader::open(source::memory_input(beginning), mapping);
    if (!reader) return;
    const auto readings = reader->next(4);
    if (!readings || readings->empty()) return;
    const auto cell = [](double value, int decimals, const char* unit) {
        return std::isfinite(value) ? fmt::format("{:.{}f} {}", value, decimals, unit) : std::string("–");
    };
    fmt::print(stderr, "  {:<32} {:>12} {:>12} {:>9}\n", "time (" + place.days.zone() + ")", "current", "voltage",
               "temp.");
    for (const Reading& r : *readings)
        fmt::print(stderr, "  {:<32} {:>12} {:>12} {:>9}\n", place.days.time(r.at.us), cell(r.current.value(), 3, "A"),
                   cell(r.voltage.value(), 3, "V"), cell(r.temperature.value(), 1, "°C"));
}

void print_sign(const intake::SignCheck& sign) {
    if (sign.verdict() == intake::SignVerdict::undirected)
        fmt::print(stderr,
                   "Doubt about the sign: the current is never negative, yet the voltage falls with it as often as it "
                   "rises.\nThe direction seems to be lost; if a column of words tells it, map it as out_when.\n");
    if (sign.verdict() != intake::SignVerdict::reversed) return;
    fmt::print(
        stderr,
        "Doubt about the sign: the voltage rises when the current falls (correlation {:.2f} over {} steps), "
        "which is the wrong way round\n"
        "for a current that is positive into the battery. If the log counts discharge as positive, give a mapping "
        "with a negative scale.\n",
        sign.correlation(), sign.steps());
}

bool confirmed() {
    fmt::print(stderr, "Read it like this? [y/N] ");
    std::string answer;
    return std::getline(std::cin, answer) && (answer == "y" || answer == "Y" || answer == "yes");
}

void print_proposal(const std::string& log, const intake::Proposal& proposal, std::string_view beginning,
                    const RecordPlace& place) {
    fmt::print(stderr, "{} seems to be written like this:\n{}", log, intake::to_text(proposal.mapping));
    for (const auto& note : proposal.notes) fmt::print(stderr, "Noted: {}\n", note);
    for (const auto& doubt : proposal.doubts) fmt::print(stderr, "Look at this: {}\n", doubt);
    if (proposal.mapping.complete()) print_preview(beginning, proposal.mapping, place);
}

bool save_mapping(const std::string& file, const intake::Proposal& proposal) {
    std::ofstream out(file);
    out << intake::to_text(proposal.mapping);
    for (const auto& doubt : proposal.doubts) out << "# Look at this: " << doubt << '\n';
    out << "# The columns of the log:\n";
    for (const auto& column : proposal.columns) out << "#   " << source::excerpt(column) << '\n';
    if (out.flush()) return true;
    fmt::print(stderr, "{}: cannot be written; check the path\n", file);
    return false;
}

constexpr const char* how_to_correct =
    "Keep the proposal with --save-mapping FILE, correct it, and give it with --mapping FILE.\n";

/// The proposal for a log, and the part of it that was looked at.
struct Looked {
    intake::Proposal proposal;
    std::string text;
};

std::expected<Looked, Exit> look_at(const std::string& log, const System* system, const std::string& zone) {
    auto beginning = Beginning::of(log);
    if (!beginning) return std::unexpected(source_error(beginning.error()));
    const auto refused = [&](const std::string& why) {
        return std::unexpected(data_error(fmt::format("{}: {}", log, why)));
    };
    auto proposal = intake::propose(beginning->text(), system, zone);
    while (proposal && proposal->order_open && beginning->grow())
        proposal = intake::propose(beginning->text(), system, zone);
    if (!proposal) return refused(proposal.error());
    if (!proposal->series_open) return Looked{std::move(*proposal), std::string(beginning->text())};
    auto input = intake::open_log(log);
    if (!input) return std::unexpected(source_error(input.error()));
    auto short_log = intake::in_turns(std::move(*input), proposal->mapping);
    if (!short_log) return std::unexpected(data_error(short_log.error()));
    proposal = intake::propose(*short_log, system, zone);
    if (!proposal) return refused(proposal.error());
    if (proposal->mapping.complete())
        proposal->notes.emplace_back(
            "the quantities follow one another: the log is sorted by time before it is taken in");
    return Looked{std::move(*proposal), std::move(*short_log)};
}

std::expected<intake::Mapping, Exit> proposed_mapping(const std::string& log, const ImportOptions& options,
                                                      const RecordPlace& place) {
    if (log == "-") {
        fmt::print(stderr,
                   "the standard input cannot be looked at before it is read; say with --mapping how to read it\n");
        return std::unexpected(Exit::usage);
    }
    const System* described = options.record.system.empty() ? nullptr : &place.system;
    const auto looked = look_at(log, described, place.days.zone());
    if (!looked) return std::unexpected(looked.error());
    const intake::Proposal* const proposal = &looked->proposal;
    // A log of our own make that raises no question is not worth a word to a script.
    const bool plain = proposal->sure() && proposal->notes.empty() && proposal->mapping.current &&
                       proposal->mapping.current->column == "current_a";
    if (!options.yes || !plain) print_proposal(log, *proposal, looked->text, place);
    // Before asking: whoever says no wants to correct it.
    if (!options.save_mapping.empty()) {
        if (!spares(options.save_mapping, {log, place.file, options.record.system}))
            return std::unexpected(Exit::usage);
        if (!save_mapping(options.save_mapping, *proposal)) return std::unexpected(Exit::cannot_create);
    }
    if (!proposal->mapping.complete() || (options.yes && !proposal->sure())) {
        fmt::print(stderr, "{}: nothing was imported, since it is not certain how to read it. {}", log, how_to_correct);
        return std::unexpected(Exit::data);
    }
    if (!options.yes && !confirmed()) {
        fmt::print(stderr, "Nothing was imported. {}", how_to_correct);
        return std::unexpected(Exit::usage);
    }
    return proposal->mapping;
}

std::expected<intake::Mapping, Exit> mapping_for(const std::string& log, const ImportOptions& options,
                                                 const RecordPlace& place) {
    if (options.mapping.empty()) return proposed_mapping(log, options, place);
    auto mapping = intake::read_mapping(options.mapping);
    if (!mapping) return std::unexpected(data_error(mapping.error()));
    return *mapping;
}

void print_bad(const std::string& log, const intake::LogReport& report) {
    if (report.bad == 0) return;
    fmt::print(stderr, "{}: {} of {} cannot be read", log, report.bad, text::plain_count_of(report.lines, "line"));
    fmt::print(stderr, "{}\n", report.first_bad.empty() ? "" : "; the first of them:");
    for (const auto& bad : report.first_bad) fmt::print(stderr, "  line {}: {}: {}\n", bad.number, bad.why, bad.text);
}

bool too_many_bad(const intake::LogReport& report) {
    return static_cast<double>(report.bad) > most_bad * static_cast<double>(report.lines);
}

Exit import_log(const std::string& log, const ImportOptions& options, const RecordPlace& place,
                record::Merger& merger) {
    const auto mapping = mapping_for(log, options, place);
    if (!mapping) return mapping.error();
    auto input = intake::open_log(log);
    if (!input) return source_error(input.error());
    const auto size = (*input)->size();
    auto reader = intake::LogReader::open(std::move(*input), *mapping);
    if (!reader) return data_error(reader.error());
    const auto progress =
        size && *size > (std::size_t{1} << 24U) ? progress_bar("importing") : std::function<void(double)>{};
    for (;;) {
        auto readings = reader->next(batch);
        if (!readings) return data_error(readings.error());
        if (!options.bad_lines_too && reader->report().lines >= 1000 && too_many_bad(reader->report())) break;
        if (readings->empty()) break;
        if (!options.bad_lines_too && reader->report().lines < 1000 && too_many_bad(reader->report())) break;
        if (const auto added = merger.add(std::move(*readings)); !added) return report(added.error());
        if (progress) progress(std::min(1.0, static_cast<double>(reader->bytes_read()) / static_cast<double>(*size)));
    }
    const auto& seen = reader->report();
    if (seen.others > 0)
        fmt::print(stderr, "{}: {} of other meters passed over\n", log, text::plain_count_of(seen.others, "line"));
    if (seen.others > 0 && seen.lines == 0)
        return data_error("None is left. The words of only, or the names of series, are other ones in this log.");
    if (seen.beyond > 0)
        fmt::print(stderr, "{}: {} beyond what the meter could show (OL) left out\n", log,
                   text::plain_count_of(seen.beyond, "value"));
    print_bad(log, seen);
    if (!options.bad_lines_too && too_many_bad(seen))
        return data_error(
            "That is more than 1 in 100: the mapping may be wrong. Correct it, or say --bad-lines-too to take the good "
            "ones.");
    print_sign(seen.sign);
    return Exit::ok;
}

std::string were(std::uint64_t count) { return fmt::format("{} {}", count, count == 1 ? "was" : "were"); }
std::string have(std::uint64_t count) { return fmt::format("{} {}", count, count == 1 ? "has" : "have"); }

Exit import_into(const RecordPlace& place, const ImportOptions& options) {
    auto merger = record::Merger::open(place.file, place.days);
    if (!merger) return report(merger.error());
    for (const auto& log : options.logs) {
        const auto before = merger->count();
        const Exit exit = import_log(log, options, place, *merger);
        const auto& count = merger->count();
        fmt::print("{}: {} added, {} there already\n", log, text::plain_count_of(count.added - before.added, "reading"),
                   were(count.known - before.known));
        if (count.clashes > before.clashes)
            fmt::print("{}: {} the time of another reading but other values; both are kept\n", log,
                       have(count.clashes - before.clashes));
        if (exit == Exit::ok) continue;
        (void)merger->finish();
        if (count.added > 0)
            fmt::print(stderr, "What was added is in the record; importing the same again adds the rest.\n");
        return exit;
    }
    if (const auto finished = merger->finish(); !finished) return report(finished.error());
    return Exit::ok;
}

Exit import_logs(const ImportOptions& options) {
    const auto place = locate_record(options.record);
    if (!place) return place.error();
    return import_into(*place, options);
}

}  // namespace

Command import_command(CLI::App& program) {
    auto& command = add_command(
        program, "import", "Take logs into the record",
        {"amphora import --system van.toml log.csv          # looks at the file, shows how it would read it, asks",
         "amphora import --system van.toml *.csv.gz --yes    # without asking",
         "amphora import --system van.toml old.txt --mapping old-meter.toml"});
    auto options = std::make_shared<ImportOptions>();
    add_record_options(command, options->record, Bare::own);
    command
        .add_option("LOG", options->logs,
                    "delimited text or JSON lines, plain, gzip or zstd; - is the standard input with --mapping")
        ->required()
        ->type_name("");
    command.add_option("--mapping", options->mapping, "how to read the logs, in a file")->type_name("FILE");
    command.add_option("--save-mapping", options->save_mapping, "write the proposed mapping into this file")
        ->type_name("FILE");
    command.add_flag("--yes", options->yes, "take the proposed mapping without asking");
    command.add_flag("--bad-lines-too", options->bad_lines_too, "go on when more than 1 line in 100 cannot be read");
    return {&command, [options] { return import_logs(*options); }};
}

}  // namespace amphora::app
