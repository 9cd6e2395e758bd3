#include "app/draw_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/description.hpp"
#include "app/give_up.hpp"
#include "app/live_place.hpp"
#include "app/person.hpp"
#include "app/reading_feed.hpp"
#include "app/terminal.hpp"
#include "app/text_file.hpp"
#include "core/appliance/draw_settings.hpp"
#include "io/describe/edit.hpp"
#include "io/source/csv_reader.hpp"
#include "io/text/draw_words.hpp"
#include "io/text/figure.hpp"
#include "io/text/json_number.hpp"

namespace amphora::app {
namespace {

using Json = nlohmann::ordered_json;
using namespace std::chrono_literals;

struct DrawOptions {
    std::string name;
    SocketOptions place;
    std::string log;
    std::string on;
    std::string off;
    double wanted_a = 0.05;
    bool cycles = false;
    bool write = false;
    bool json = false;
};

/// Leads the person through the steps. Enter goes on, before all is ready too.
std::expected<DrawTest, std::string> lead(ReadingFeed& feed, const DrawSettings& settings, const std::string& name,
                                          const Equipment& equipment) {
    DrawTest test(settings);
    Person person;
    for (const auto step : {DrawStep::off_before, DrawStep::on, DrawStep::off_after}) {
        Person::tell(fmt::format("\n{}\nThen press Enter.", text::todo_words(step, name, equipment)));
        for (bool done = false; !done;) {
            const auto reading = feed.next(100ms);
            if (!reading) return std::unexpected(reading.error());
            if (*reading && (*reading)->current.known())
                person.progress(fmt::format("{:+.2f} A", (*reading)->current.value()));
            done = person.line(0ms).has_value();
            if (person.gone()) return std::unexpected("nobody answers any more");
        }
        test.switched(feed.now());
        while (!test.ready()) {
            const auto reading = feed.next(100ms);
            if (!reading) return std::unexpected(reading.error());
            if (person.line(0ms)) break;
            if (!*reading) continue;
            test.push(**reading);
            const auto cycles = test.whole_cycles();
            const Second wait = test.wait();
            person.progress(fmt::format(
                "{:+.2f} A; {}{}   (Enter: enough)", (*reading)->current.value(),
                wait.known() ? fmt::format("about {} to go", text::duration(wait)) : std::string("measuring"),
                cycles ? fmt::format("; it switches itself, {} seen", text::count_of(*cycles, "whole cycle")) : ""));
        }
        person.end_progress();
    }
    test.switched(feed.now());
    return test;
}

/// The same from a log, switched at given moments.
std::expected<DrawTest, std::string> from_log(const DrawOptions& options, const System& system,
                                              const DrawSettings& settings, const record::LocalDays& days) {
    const auto on = days.parse(options.on);
    const auto off = days.parse(options.off);
    if (!on || !off || *off <= *on)
        return std::unexpected("--on and --off must be moments as 2024-10-27T18:00:00, in this order");
    auto input = source::open_input(options.log);
    if (!input) return std::unexpected(input.error().message);
    auto reader = source::CsvReader::open(std::move(*input), system);
    if (!reader) return std::unexpected(reader.error().message);
    DrawTest test(settings);
    const auto upto = [&](Instant at) {
        if (!test.counting()) test.switched(at);
        if (test.step() == DrawStep::off_before && at.us >= *on) test.switched(Instant{*on});
        if (test.step() == DrawStep::on && at.us >= *off) test.switched(Instant{*off});
    };
    for (;;) {
        const auto batch = reader->next();
        if (!batch) return std::unexpected(batch.error().message);
        if (batch->empty()) return test;
        for (const Reading& reading : *batch) {
            upto(reading.at);
            test.push(reading);
        }
    }
}

Json as_json(const DrawResult& r, const std::string& name) {
    // Below what the meter resolves only the upper bound is known.
    const auto measured = [&](double v) { return r.below_resolution ? Json(nullptr) : text::json_number(v); };
    Json json = {{"appliance", name},
                 {"draw_a", measured(r.draw.mean.value())},
                 {"draw_band_a", measured(r.draw.sd.value() * band90)},
                 {"power_w", measured(r.power.mean.value())},
                 {"power_band_w", measured(r.power.sd.value() * band90)},
                 {"voltage_v", text::json_number(r.voltage.value())},
                 {"below_resolution", r.below_resolution},
                 {"at_most_a", text::json_number(r.at_most.value())},
                 {"rest_changed", r.rest_changed},
                 {"too_few_cycles", r.too_few_cycles},
                 {"cycle", nullptr}};
    if (r.cycle)
        json["cycle"] = {{"whole_cycles", r.cycle->whole_cycles()}, {"duty", text::json_number(r.cycle->duty.value())}};
    return json;
}

std::string day_of(Instant at, const record::LocalDays& days) { return days.date(at.us); }

Exit store(const DrawOptions& options, const DrawResult& r, const std::string& day) {
    std::string text = whole_text(options.place.system);
    const auto put = [&](const char* key, const std::string& value) {
        text = describe::with_value(text, "appliance", options.name, {key, value});
    };
    const double band = r.power.sd.value() * band90;
    const int places = band < 0.1 ? 2 : band < 1.0 ? 1 : 0;
    put("measured_on", day);
    put("measured_band_w", fmt::format("{:.{}f}", band, places + 1));
    put("measured_w", fmt::format("{:.{}f}", r.power.mean.value(), places));
    if (const auto sound = describe::describe_text(text); !sound) {
        print_mistakes(sound.error(), options.place.system);
        return give_up("draw", Exit::software,
                       "the result cannot be written without breaking the description; nothing was written");
    }
    if (const auto done = replace_text(options.place.system, text); !done)
        return give_up("draw", Exit::cannot_create, done.error());
    fmt::print(stderr, "{}: measured_w written to \"{}\"\n", options.place.system, options.name);
    return Exit::ok;
}

Exit draw(const DrawOptions& options) {
    if (options.log.empty() && !is_watched(stdin))
        return give_up(
            "draw", Exit::usage,
            "it leads you through at a terminal, and there is none; measure from a log instead: --log FILE --on "
            "TIME --off TIME");
    const auto record = locate_record({options.place.system, ""});
    if (!record) return record.error();
    const System& system = record->system;
    const auto* appliance = appliance_named(system, options.name);
    if (appliance == nullptr && options.write)
        return give_up("draw", Exit::config,
                       fmt::format("there is no [[appliance]] \"{}\" to write the result to", options.name));
    DrawSettings settings = draw_settings(system, options.name);
    settings.wanted = Ampere(options.wanted_a);
    settings.cycles = settings.cycles || options.cycles;

    std::expected<DrawTest, std::string> test = std::unexpected("");
    if (!options.log.empty()) {
        test = from_log(options, system, settings, record->days);
    } else {
        const auto socket = locate_socket(options.place);
        if (!socket) return socket.error();
        auto feed = ReadingFeed::open(*socket);
        if (!feed) return give_up("draw", Exit::unavailable, feed.error());
        test = lead(*feed, settings, options.name, system.equipment);
    }
    if (!test) return give_up("draw", options.log.empty() ? Exit::unavailable : Exit::data, test.error());
    const DrawResult result = test->result();
    const bool behind_inverter = appliance != nullptr && appliance->feed == described::Feed::inverter;
    fmt::print("{}", options.json ? as_json(result, options.name).dump(2) + "\n"
                                  : text::result_words(result, options.name, behind_inverter));
    if (!options.write || !result.draw.mean.known()) return result.draw.mean.known() ? Exit::ok : Exit::data;
    if (result.below_resolution || result.too_few_cycles)
        return give_up("draw", Exit::data, "nothing was written: this is not yet a measurement of the appliance");
    return store(options, result, day_of(test->begun(), record->days));
}

}  // namespace

Command draw_command(CLI::App& program) {
    auto& command = add_command(
        program, "draw", "Measure what one appliance draws: everything off, it alone on, and off again",
        {"amphora draw refrigerator --system van.toml            # leads through it; the recorder must run",
         "amphora draw refrigerator --system van.toml --write    # and keeps the result in the description",
         "amphora draw pump --system van.toml --log log.csv --on 2024-10-27T18:00:00 --off 2024-10-27T18:05:00"});
    auto options = std::make_shared<DrawOptions>();
    command.add_option("NAME", options->name, "the appliance, by its name in the description or any other")
        ->required()
        ->type_name("");
    command.add_option("--system", options->place.system, "the description of the system")
        ->required()
        ->type_name("SYSTEM.toml");
    command.add_option("--socket", options->place.socket, "the recorder's socket, if it lies elsewhere")
        ->type_name("FILE");
    command.add_option("--within", options->wanted_a, "wanted precision, half the width of the 90 % band [0.05]")
        ->check(CLI::Range(0.0001, 100.0).description(""))
        ->type_name("AMPERES");
    command.add_flag("--cycles", options->cycles, "it switches itself on and off: wait for two whole cycles");
    auto* log = command.add_option("--log", options->log, "a log in place of the recorder: CSV, - for standard input");
    log->type_name("FILE");
    auto* on = command.add_option("--on", options->on, "with --log: when it was switched on")->type_name("TIME");
    auto* off =
        command.add_option("--off", options->off, "with --log: when it was switched off again")->type_name("TIME");
    on->needs(log)->needs(off);
    off->needs(on);
    log->needs(on);
    command.add_flag("--write", options->write, "put the result into the description; comments and order stay");
    command.add_flag("--json", options->json, "result as JSON on stdout");
    return {&command, [options] { return draw(*options); }};
}

}  // namespace amphora::app
