#include "io/web/api/upload.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <expected>
#include <span>
#include <utility>
#include <vector>

#include "io/intake/in_turns.hpp"
#include "io/intake/log_reader.hpp"
#include "io/intake/proposal.hpp"
#include "io/intake/unpack.hpp"
#include "io/record/merger.hpp"
#include "io/source/bad_line.hpp"
#include "io/text/figure.hpp"
#include "io/web/api/body_json.hpp"

namespace amphora::web {
namespace {

constexpr std::size_t batch = std::size_t{1} << 20U;
constexpr std::size_t shown = 8;
constexpr double most_bad = 0.01;

std::string_view word(intake::SignVerdict verdict) {
    switch (verdict) {
        case intake::SignVerdict::agrees:
            return "agrees";
        case intake::SignVerdict::reversed:
            return "reversed";
        case intake::SignVerdict::undirected:  // the doubt beside it says more
        case intake::SignVerdict::unclear:
            break;
    }
    return "unclear";
}

Json reading_json(const Reading& r) {
    return {{"at", moment(r.at)},
            {"current_a", number(r.current.value(), decimals::ampere)},
            {"voltage_v", number(r.voltage.value(), decimals::volt)},
            {"temperature_c", number(r.temperature.value(), decimals::degree)}};
}

Json bad_json(const intake::LogReport& report) {
    Json list = Json::array();
    for (const auto& bad : report.first_bad)
        list.push_back({{"line", bad.number}, {"why", bad.why}, {"text", bad.text.substr(0, 200)}});
    return list;
}

/// The plain text of a beginning that may be packed, up to a few hundred kilobytes of it.
std::expected<std::string, std::string> unpacked_text(std::string_view beginning) {
    auto input = intake::unpacked(source::memory_input(beginning));
    if (!input) return std::unexpected(input.error().message);
    std::string text(preview_bytes, '\0');
    std::size_t size = 0;
    while (size < text.size()) {
        const auto got = (*input)->read(std::span(text).subspan(size));
        if (!got && size > 0) break;  // a packed beginning ends in the middle
        if (!got) return std::unexpected(got.error().message);
        if (*got == 0) break;
        size += *got;
    }
    text.resize(size);
    const bool cut = size == preview_bytes || beginning.size() == preview_bytes;
    if (cut) text.resize(text.rfind('\n') + 1);  // no half line
    return text;
}

}  // namespace

Response preview(std::string_view beginning, const System& system, const std::string& zone) {
    const auto text = unpacked_text(beginning);
    if (!text) return problem(422, text.error());
    const auto proposal = intake::propose(*text, &system, zone);
    if (!proposal) return problem(422, proposal.error());
    const auto& mapping = proposal->mapping;
    Json remarks = proposal->doubts;
    for (const auto& note : proposal->notes) remarks.push_back(note);
    if (!mapping.complete())
        return problem(422, fmt::format("{}{}", fmt::join(proposal->doubts, "; "),
                                        proposal->series_open ? "; the page looks at the beginning of a log only: take "
                                                                "this one in with \"amphora import\""
                                                              : ""));
    if (proposal->series_open)
        remarks.push_back(
            "the quantities follow one another in this log: those behind its beginning are looked for when "
            "it is taken in");
    auto reader = intake::LogReader::open(source::memory_input(*text), mapping);
    if (!reader) return problem(422, reader.error());
    const auto readings = reader->next(batch);
    if (!readings) return problem(422, readings.error());
    const auto& seen = reader->report();
    Json first = Json::array();
    for (const Reading& r : std::span(*readings).first(std::min(shown, readings->size())))
        first.push_back(reading_json(r));
    return answer_with({{"mapping", intake::to_text(mapping)},
                        {"doubts", remarks},
                        {"sign", word(proposal->sign)},
                        {"lines", seen.lines},
                        {"bad", seen.bad},
                        {"first_bad", bad_json(seen)},
                        {"readings", first}});
}

Response Upload::begin(const Request& request) {
    const auto body = object_of(request.body);
    const auto name = body ? text_in(*body, "name") : std::nullopt;
    const auto mapping = body ? text_in(*body, "mapping") : std::nullopt;
    if (!name || !mapping)
        return problem(400, "Send {\"name\": \"...\", \"mapping\": \"...\"} as the preview gave it.");
    auto parsed = intake::parse_mapping(*mapping);
    if (!parsed) return problem(422, parsed.error());
    if (!id_.empty()) {
        std::error_code none;
        std::filesystem::remove(close().file, none);
    }
    const auto id = fmt::format("u{}", ++begun_);
    spool_ = folder_ / ("import-" + id + ".log");
    out_ = std::ofstream(spool_, std::ios::binary | std::ios::trunc);
    if (!out_) return problem(500, "There is no place to keep the log: is the disk full?");
    id_ = id;
    name_ = *name;
    mapping_ = std::move(*parsed);
    size_ = 0;
    return answer_with({{"upload", id_}, {"piece_bytes", piece_bytes}});
}

Response Upload::piece(const Request& request) {
    if (!is(request.query.find("upload").value_or(""))) return problem(404, "There is no such upload; begin it again.");
    if (size_ + request.body.size() > largest_log)
        return problem(413, "A log of more than 2 GiB is taken in with \"amphora import\" on the computer itself.");
    out_.write(request.body.data(), static_cast<std::streamsize>(request.body.size()));
    if (!out_.flush()) return problem(500, "The log cannot be kept: is the disk full?");
    size_ += request.body.size();
    return answer_with({{"bytes", size_}});
}

SentLog Upload::close() {
    out_.close();
    id_.clear();
    return {spool_, name_, mapping_};
}

namespace {

/// The preview saw the beginning of the log only: of one that is grouped by quantity perhaps the first of them. Those
/// that the mapping lacks are added to it. What is wrong with the log, or nothing.
std::string look_for_more(const SentLog& log, const System& system, const record::LocalDays& days,
                          intake::Mapping& mapping) {
    if ((mapping.current || mapping.discharge || mapping.power) && mapping.voltage) return {};
    auto input = intake::open_log(log.file.string());
    if (!input) return input.error().message;
    const auto short_log = intake::in_turns(std::move(*input), mapping);
    if (!short_log) return short_log.error();
    const auto whole = intake::propose(*short_log, &system, days.zone());
    if (whole && whole->sure()) intake::complete_series(mapping, whole->mapping);
    return {};
}

/// What was taken in, for a person; with what was found behind the beginning, and what physics says of the sign.
std::string taken_in(const SentLog& log, const intake::Mapping& mapping, const record::MergeCount& count,
                     const intake::SignCheck& sign) {
    auto said =
        fmt::format("{}: {} added, {} {} there already.", log.name, text::plain_count_of(count.added, "reading"),
                    count.known, count.known == 1 ? "was" : "were");
    if (mapping.voltage && !log.mapping.voltage)
        said += fmt::format(" The voltage was found further on, as {}.", source::excerpt(mapping.voltage->column));
    if (mapping.current && !log.mapping.current && !log.mapping.discharge)
        said += fmt::format(" The current was found further on, as {}.", source::excerpt(mapping.current->column));
    if (sign.verdict() == intake::SignVerdict::reversed)
        said += " Look at the sign: the voltage rises when the current falls, which is the wrong way round.";
    if (sign.verdict() == intake::SignVerdict::undirected)
        said += " Look at the sign: the current is never negative, yet the voltage falls with it as often as it rises.";
    return said;
}

Outcome take_in_file(const SentLog& log, const std::filesystem::path& file, const record::Origin& origin,
                     const record::LocalDays& days, const Tell& tell) {
    const auto fault = [](std::string sentence) { return Outcome{false, nullptr, std::move(sentence)}; };
    std::error_code none;
    const double size = static_cast<double>(std::filesystem::file_size(log.file, none));
    auto input = intake::open_log(log.file.string());
    if (!input) return fault(input.error().message);
    auto mapping = log.mapping;
    if (mapping.series)
        if (const auto why = look_for_more(log, origin.system, days, mapping); !why.empty()) return fault(why);
    auto reader = intake::LogReader::open(std::move(*input), mapping);
    if (!reader) return fault(reader.error());
    auto merger = record::Merger::open(file, days);
    if (!merger) return fault(merger.error().message);
    for (;;) {
        auto readings = reader->next(batch);
        if (!readings) return fault(readings.error());
        const auto& seen = reader->report();
        if (static_cast<double>(seen.bad) > most_bad * static_cast<double>(seen.lines))
            return fault(fmt::format("{} of {} lines cannot be read: nothing more was added. The mapping may be wrong.",
                                     seen.bad, seen.lines));
        if (readings->empty()) break;
        if (const auto added = merger->add(std::move(*readings)); !added) return fault(added.error().message);
        if (size > 0) tell(0.5 * std::min(1.0, static_cast<double>(reader->bytes_read()) / size));
    }
    if (const auto finished = merger->finish(); !finished) return fault(finished.error().message);
    if (reader->report().readings == 0)
        return fault(fmt::format("{}: there is no reading in it; nothing was added.", log.name));
    const auto derived = record::derive(file, origin, days, [&](double share) { tell(0.5 + 0.5 * share); });
    if (!derived) return fault(derived.error().message);
    const auto& count = merger->count();
    return {true,
            {{"lines", reader->report().lines},
             {"bad", reader->report().bad},
             {"added", count.added},
             {"known", count.known},
             {"clashes", count.clashes}},
            taken_in(log, mapping, count, reader->report().sign)};
}

}  // namespace

Outcome take_in(const SentLog& log, const std::filesystem::path& file, const record::Origin& origin,
                const record::LocalDays& days, const Tell& tell) {
    auto outcome = take_in_file(log, file, origin, days, tell);
    std::error_code none;
    std::filesystem::remove(log.file, none);
    return outcome;
}

}  // namespace amphora::web
