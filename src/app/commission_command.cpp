#include "app/commission_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <charconv>
#include <filesystem>
#include <fstream>
#include <memory>
#include <nlohmann/json.hpp>
#include <sstream>

#include "app/commission_words.hpp"
#include "app/description.hpp"
#include "app/give_up.hpp"
#include "app/live_place.hpp"
#include "app/person.hpp"
#include "app/reading_feed.hpp"
#include "app/terminal.hpp"
#include "app/text_file.hpp"
#include "io/source/csv_reader.hpp"
#include "io/text/commission_words.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

using commission::Act;
using commission::Ask;
using commission::Commissioning;
using namespace std::chrono_literals;

struct CommissionOptions {
    SocketOptions place;
    std::string log;
    std::string script;
    std::string out;
    bool json = false;
};

constexpr std::string_view caution =
    "Before you begin: a battery drives thousands of amperes into a slipped tool. Take off rings and watches, use "
    "insulated\ntools, and cover the posts that you do not work on. Leave what carries mains voltage alone.\n";

/// The answer in the question's unit; nothing if it is none.
std::optional<double> answer_in(const std::string& text, Ask ask) {
    if (ask == Ask::nothing) return 0.0;
    if (ask == Ask::yes_or_no) {
        if (text == "y" || text == "yes") return 1.0;
        if (text == "n" || text == "no") return 0.0;
        return std::nullopt;
    }
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size() || !(value > 0.0) || value > 1e5) return std::nullopt;
    return value;
}

// One run with a person.
class Leading {
public:
    Leading(ReadingFeed& feed, Commissioning& commissioning) : feed_(feed), commissioning_(commissioning) {}

    std::expected<void, std::string> run() {
        while (const auto step = commissioning_.step()) {
            if (*step != shown_) begin_step(*step);
            const Act& act = commissioning_.act();
            Person::tell(std::string(act.todo));
            const auto answer = ask(act);
            if (!answer) return std::unexpected(answer.error());
            if (!*answer) {
                commissioning_.skip();
                Person::tell("Left out.");
                continue;
            }
            commissioning_.begin(feed_.now(), **answer);
            if (auto measured = measure(); !measured) return measured;
            commissioning_.next();
            if (commissioning_.step() != step) tell_finding();
        }
        return {};
    }

private:
    void begin_step(commission::Step step) {
        shown_ = step;
        Person::tell(fmt::format("\n{}\nExpected: {}", commission::title_of(step), commission::expectation_of(step)));
    }

    void tell_finding() {
        const auto& f = commissioning_.findings().back();
        Person::tell(fmt::format("Seen: {}\n{}: {}", text::seen_words(f), text::verdict_words(f.verdict),
                                 commission::words_of(f.meaning)));
    }

    /// The answer; nothing for "leave it out".
    std::expected<std::optional<double>, std::string> ask(const Act& act) {
        const auto prompt = act.ask == Ask::nothing ? std::string("Press Enter when it is so")
                                                    : fmt::format("When it is so: {}", act.question);
        for (;;) {
            Person::tell(fmt::format("{} (s: leave this test out)", prompt));
            const auto line = wait_for_line();
            if (!line) return std::unexpected(line.error());
            if (*line == "s") return std::nullopt;
            if (const auto answer = answer_in(*line, act.ask)) return answer;
            Person::tell(act.ask == Ask::yes_or_no ? "Answer y or n."
                                                   : "Answer with a number above 0, without a unit.");
        }
    }

    std::expected<std::string, std::string> wait_for_line() {
        for (;;) {
            const auto reading = feed_.next(100ms);
            if (!reading) return std::unexpected(reading.error());
            if (auto line = person_.line(0ms)) return *line;
            if (person_.gone()) return std::unexpected("nobody answers any more");
        }
    }

    std::expected<void, std::string> measure() {
        while (!commissioning_.ready()) {
            const auto reading = feed_.next(100ms);
            if (!reading) return std::unexpected(reading.error());
            if (person_.line(0ms)) break;
            if (!*reading) continue;
            commissioning_.push(**reading);
            person_.progress(
                fmt::format("{:+.2f} A; {} to go", (*reading)->current.value(), text::duration(commissioning_.wait())));
        }
        person_.end_progress();
        return {};
    }

    ReadingFeed& feed_;
    Commissioning& commissioning_;
    Person person_;
    std::optional<commission::Step> shown_;
};

std::expected<std::vector<Reading>, std::string> readings_of(const std::string& log, const System& system) {
    auto input = source::open_input(log);
    if (!input) return std::unexpected(input.error().message);
    auto reader = source::CsvReader::open(std::move(*input), system);
    if (!reader) return std::unexpected(reader.error().message);
    std::vector<Reading> all;
    for (;;) {
        const auto batch = reader->next();
        if (!batch) return std::unexpected(batch.error().message);
        if (batch->empty()) return all;
        all.insert(all.end(), batch->begin(), batch->end());
    }
}

/// What a person did, a line for each act: the moment and the answer ("2024-10-27T18:00:00 65"), or "skip".
std::expected<void, std::string> replay(const CommissionOptions& options, const RecordPlace& place, Commissioning& c) {
    const auto readings = readings_of(options.log, place.system);
    if (!readings) return std::unexpected(readings.error());
    std::ifstream in(options.script);
    if (!in) return std::unexpected(fmt::format("{}: cannot be read", options.script));
    for (std::string line; c.step() && std::getline(in, line);) {
        if (line.empty() || line.starts_with('#')) continue;
        std::istringstream words(line);
        std::string first;
        std::string answer;
        words >> first >> answer;
        if (first == "skip") {
            c.skip();
            continue;
        }
        const auto at = place.days.parse(first);
        const auto value = answer_in(answer, c.act().ask);
        if (!at || !value) return std::unexpected(fmt::format("{}: cannot be understood: {}", options.script, line));
        c.begin(Instant{*at}, *value);
        for (const Reading& reading : *readings)
            if (reading.at.us >= *at && !c.ready()) c.push(reading);
        c.next();
    }
    while (c.step()) c.skip();
    return {};
}

std::filesystem::path record_file(const CommissionOptions& options, const Commissioning& c,
                                  const record::LocalDays& days) {
    if (!options.out.empty()) return options.out;
    const std::filesystem::path system(options.place.system);
    return system.parent_path() /
           fmt::format("{}-commissioning-{}.md", system.stem().string(), days.date(c.findings().back().at.us));
}

Exit run(const CommissionOptions& options) {
    const auto place = locate_record({options.place.system, ""});
    if (!place) return place.error();
    Commissioning commissioning(place->system);
    std::expected<void, std::string> done;
    if (options.log.empty()) {
        if (!is_watched(stdin))
            return give_up(
                "commission", Exit::usage,
                "it leads you through at a terminal, and there is none; replay a log instead: --log FILE --script "
                "FILE");
        const auto socket = locate_socket(options.place);
        if (!socket) return socket.error();
        auto feed = ReadingFeed::open(*socket);
        if (!feed) return give_up("commission", Exit::unavailable, feed.error());
        Person::tell(std::string(caution));
        done = Leading(*feed, commissioning).run();
    } else {
        done = replay(options, *place, commissioning);
    }
    if (!done) return give_up("commission", options.log.empty() ? Exit::unavailable : Exit::data, done.error());
    const std::string record = commissioning_record(commissioning, place->system, place->days);
    const auto file = record_file(options, commissioning, place->days);
    if (const auto written = replace_text(file.string(), record); !written)
        return give_up("commission", Exit::cannot_create, written.error());
    if (options.json)
        fmt::print("{}\n", to_json(commissioning).dump(2));
    else
        fmt::print("{}\n{}: the record of this commissioning\n", record, file.string());
    return commissioning.sound() ? Exit::ok : Exit::data;
}

}  // namespace

Command commission_command(CLI::App& program) {
    auto& command = add_command(
        program, "commission", "Test that the meter is put in right: direction, zero, size, nothing around it",
        {"amphora commission --system van.toml                  # leads through it; the recorder must run",
         "amphora commission --system van.toml --log log.csv --script what-was-done.txt"});
    auto options = std::make_shared<CommissionOptions>();
    add_description_option(command, options->place.system)->required();
    command.add_option("--socket", options->place.socket, "the recorder's socket, if it lies elsewhere")
        ->type_name("FILE");
    auto* log = command.add_option("--log", options->log, "a log in place of the recorder")->type_name("FILE");
    auto* script = command.add_option("--script", options->script,
                                      "with --log: a line for each act, its moment and answer, or \"skip\"");
    script->type_name("FILE")->needs(log);
    log->needs(script);
    command.add_option("--out", options->out, "where the record goes; if not given, beside the description")
        ->type_name("FILE");
    command.add_flag("--json", options->json, "result as JSON on stdout");
    return {&command, [options] { return run(*options); }};
}

}  // namespace amphora::app
